import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judgeInTurn } from '../../../../test/judge-all.ts'
import { SmallCellar, smallCellar, VESSEL } from './testing/small-cellar.ts'

describe('a command', () => {
  it('that switches on never goes out before it stands in the journal, whatever the readings and the brewer do', async ({
    task,
  }) => {
    const step = fc.record({
      after_s: fc.integer({ min: 0, max: 230 }),
      beer_C: fc.double({ min: 16.5, max: 19.4, noNaN: true }),
      act: fc.constantFrom('nothing', 'nothing', 'hold', 'resume', 'go to'),
    })
    await judgeInTurn(
      task,
      { cases: 40, least: 20, seed: 3 },
      [fc.array(step, { minLength: 5, maxLength: 40 })],
      async steps => {
        let sent = 0
        const house = smallCellar()
        house.addVessel()
        const batch = house.start()
        const isWritten = (fence: number) =>
          house.store.journal(batch).some(entry => entry.kind === 'command' && entry.command.fence === fence)
        const early: number[] = []
        house.door().onSend = command => {
          const { fence } = command
          if (!('on' in command && command.on)) return
          sent++
          if (!isWritten(fence)) early.push(fence)
          // The state with this command is on disk as well: a restart now would know of it.
          if (house.store.latestState(batch)!.state.fence < fence) early.push(fence)
        }
        for (const { after_s, beer_C, act } of steps) {
          house.time.moveTo(house.time.now_ms() + after_s * 1000)
          await house.hear({ 'Probe.beer': beer_C })
          const { state } = house.cellar.view(batch)
          if (act === 'hold' && state.batch === 'running') house.cellar.hold(batch, 'Test')
          if (act === 'resume' && state.batch === 'held') house.cellar.resume(batch, 'Test')
          if (act === 'go to') house.cellar.goTo(batch, 'Crash', 'Test')
        }
        expect(early).toEqual([])
        return sent
      },
    )
  })
})

describe('a command that switches off', () => {
  async function cooling() {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(10, { 'Probe.beer': 19 })
    expect(house.cellar.view(batch).cooler?.on).toBe(true)
    return { house, batch }
  }

  it('waits for no disk: it goes out before anything is written', async () => {
    const { house, batch } = await cooling()
    const written = house.store.journal(batch).length
    let before: number | null = null
    house.door().onSend = command => {
      if (command.appliance === 'cooler' && !command.on) before ??= house.store.journal(batch).length
    }
    house.cellar.stop(batch, 'Test')
    expect(before).toBe(written)
    const last = house.store.journal(batch).findLast(({ kind }) => kind === 'command')
    expect(last).toMatchObject({ command: { appliance: 'cooler', on: false } })
  })

  it('goes out when the records cannot be written; so does what switches on, until its lease lapses', async () => {
    const { house, batch } = await cooling()
    house.store.isFull = true
    house.door().take()
    expect(() => house.cellar.hold(batch, 'Test')).toThrow(/could not be written down/)
    await house.keepHearing(12, { 'Probe.beer': 19 }).catch(() => undefined)
    for (const beer_C of [19, 17, 17, 17, 17, 17, 19, 19, 19, 19, 19, 19, 19, 19]) {
      await house.keepHearing(1, { 'Probe.beer': beer_C }).catch(() => undefined)
    }
    const cooler = house.door().commands.flatMap(command => (command.appliance === 'cooler' ? [command] : []))
    expect(cooler.map(({ on }) => on)).toContain(false)
    expect(cooler.map(({ on }) => on)).toContain(true)
    const again = new SmallCellar(house.store, house.time)
    house.store.isFull = false
    // What was on then is off now, whatever the records know of it.
    const first = again.door().commands.find(({ appliance }) => appliance === 'cooler')
    expect(first).toMatchObject({ on: false })
    expect(first!.fence).toBeGreaterThan(Math.max(...cooler.map(({ fence }) => fence)))
  })
})

describe('a full disk', () => {
  it('stops neither control nor the brewer, is told once, and the journal is completed when there is room', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(2, { 'Probe.beer': 18 })
    const written = house.store.journal(batch).length
    house.store.isFull = true
    const report = {
      vessel: VESSEL,
      instrument: 'Probe',
      quantity: 'beer',
      value: 19,
      status: 'good' as const,
    }
    for (let minute = 0; minute < 10; minute++) {
      house.time.moveTo(house.time.now_ms() + 60_000)
      const accepted = house.cellar.accept([{ ...report, at_ms: house.time.now_ms() }], 'test')
      await expect(accepted).rejects.toMatchObject({ code: 'storage' })
    }
    expect(house.door().commands.some(command => command.appliance === 'cooler' && command.on)).toBe(true)
    expect(() => house.cellar.hold(batch, 'Test')).toThrow(/Done, but it could not be written down/)
    expect(house.cellar.view(batch).state.batch).toBe('held')
    expect(house.store.journal(batch)).toHaveLength(written)
    // Once for the readings, once for the journal.
    expect(house.troubles).toEqual(['records failing', 'records failing'])

    house.store.isFull = false
    await house.keepHearing(2, { 'Probe.beer': 19 })
    expect(house.troubles).toEqual([
      'records failing',
      'records failing',
      'records kept again',
      'records kept again',
    ])
    const journal = house.store.journal(batch)
    const fences = journal.flatMap(entry => (entry.kind === 'command' ? [entry.command.fence] : []))
    expect(fences).toEqual(house.door().commands.map(({ fence }) => fence))
    expect(journal.some(entry => entry.kind === 'edit' && entry.edit.kind === 'hold')).toBe(true)
    const times = journal.map(({ at_ms }) => at_ms)
    expect(times).toEqual(times.toSorted((a, b) => a - b))
  })
})

describe('an appliance that can not be reached', () => {
  it('is told again when its command is renewed; the journal says so once, and once that it is back', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    house.door().problem = 'no answer from the relay'
    let attempts = 0
    house.door().onSend = () => attempts++
    await house.keepHearing(30, { 'Probe.beer': 19 })
    expect(attempts).toBeGreaterThan(2)
    const notes = () =>
      house.store
        .journal(batch)
        .flatMap(entry => (entry.kind === 'reach' ? [[entry.appliance, entry.problem]] : []))
    const met = ['cooler', { kind: 'door', said: 'no answer from the relay' }]
    expect(notes()).toEqual([met])
    house.door().problem = null
    await house.keepHearing(10, { 'Probe.beer': 19 })
    expect(notes()).toEqual([met, ['cooler', null]])
    expect(house.troubles).toEqual(['appliance unheard', 'appliance heard'])
  })
})

describe('the state', () => {
  it('is written down every minute when only readings have changed it, and at the end', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    const written_s = () => house.store.latestState(batch)!.state.now_s!
    const entries = house.store.journal(batch).length
    await house.hear({ 'Air probe.air': 15 })
    for (let second = 0; second < 300; second++) {
      house.time.moveTo(house.time.now_ms() + 1000)
      await house.hear({ 'Air probe.air': 15 })
      expect(house.now_s - written_s()).toBeLessThanOrEqual(60)
    }
    // The first reading puts an instrument in charge; after that nothing is decided.
    expect(house.store.journal(batch).length - entries).toBeLessThanOrEqual(2)
    house.time.moveTo(house.time.now_ms() + 1000)
    await house.hear({ 'Air probe.air': 15 })
    house.time.moveTo(house.time.now_ms() + 1000)
    await house.hear({ 'Air probe.air': 15.5 })
    const heard_s = house.now_s
    expect(written_s()).toBeLessThan(heard_s)
    // Also when nothing more is heard.
    house.time.moveTo(house.time.now_ms() + 60_000)
    expect(written_s()).toBeGreaterThanOrEqual(heard_s)
    house.time.moveTo(house.time.now_ms() + 1000)
    await house.hear({ 'Air probe.air': 15 })
    await house.cellar.close()
    expect(written_s()).toBe(house.now_s)
    expect(house.time.next_ms).toBe(Number.POSITIVE_INFINITY)
  })
})
