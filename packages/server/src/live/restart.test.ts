import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openSqliteStore } from '../store/sqlite/open.ts'
import { ManualTime } from './testing/manual-time.ts'
import { MemoryStore } from './testing/memory-store.ts'
import { AMBER, SmallCellar, START_S, smallCellar, VESSEL } from './testing/small-cellar.ts'

const RAMP_AND_ASK = `plan: Ramp and ask
limits: { lowest: 0 °C, highest: 24 °C }
stages:
  - stage: Rise
    ramp: { to: 21 °C, over: 10 h }
    until: { stage lasted: 2 h }
    ask first: Shall it go on?
    at most: 3 d
    if late: ask
  - stage: Stay
    hold: 21 °C
    until: { stage lasted: 2 d }
`

/** The software is killed: nothing is closed, nothing is flushed; another one opens the same records a little later. */
function killAndReopen(house: SmallCellar, away_s: number): SmallCellar {
  const later = new ManualTime(house.time.now_ms() + away_s * 1000)
  return new SmallCellar(house.store, later)
}

describe('a cellar that is opened again after it was killed', () => {
  it('keeps the stage, the line of the ramp, and the open question; the gap stands in the journal', async () => {
    const house = smallCellar()
    house.addVessel()
    await house.hearTwice({ 'Probe.beer': 18, 'Float.gravity': 1.05 })
    const batch = house.start({ ...AMBER, planText: RAMP_AND_ASK })
    await house.keepHearing(150, { 'Probe.beer': 18.5 })
    const before = house.cellar.view(batch)
    expect(before.stage).toBe('Rise')
    expect(before.questions).toHaveLength(1)

    const again = killAndReopen(house, 3600)
    await again.keepHearing(5, { 'Probe.beer': 18.6 })
    const after = again.cellar.view(batch)
    expect(after.stage).toBe('Rise')
    expect(after.questions).toEqual(before.questions)
    expect(after.state.stageSince_s).toBe(START_S)
    // 3 K over 10 h, from 18 °C at the start: 0.3 K an hour, in steps of 0.05 K.
    const elapsed_h = (again.now_s - START_S) / 3600
    expect(Math.abs(after.target_C! - (18 + 0.3 * elapsed_h))).toBeLessThanOrEqual(0.05)

    const gap = again.store.journal(batch).find(({ kind }) => kind === 'gap')
    expect(gap).toMatchObject({ to_ms: (START_S + 150 * 60 + 3600) * 1000 })
    expect(gap?.kind === 'gap' && gap.from_ms).toBeGreaterThanOrEqual((START_S + 149 * 60) * 1000)

    again.cellar.answer(batch, after.questions[0]!.id, 'yes', 'Test')
    expect(again.cellar.view(batch).stage).toBe('Stay')
  })

  it('lets the compressor rest from now on, and never lowers a fencing number', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(10, { 'Probe.beer': 19 })
    expect(house.cellar.view(batch).cooler?.on).toBe(true)
    const fence = Math.max(...house.door().commands.map(command => command.fence))

    const again = killAndReopen(house, 30)
    const back_s = again.now_s
    // Nothing is wanted before the thermometer has been read anew, twice.
    expect(again.cellar.view(batch).cooler).toMatchObject({
      on: false,
      why: 'Cooler off since the software came back on 4 December 2026 at 18:10: nobody knows how warm the beer is.',
    })
    await again.keepHearing(2, { 'Probe.beer': 19 })
    expect(again.cellar.view(batch).cooler?.why).toMatch(
      /^Cooler wanted, but held back for [23] min: it has to rest after its last run\./,
    )
    await again.keepHearing(10, { 'Probe.beer': 19 })
    const [first] = again.door().commands.filter(command => command.appliance === 'cooler' && command.on)
    // The compressor of the example rests for at least 5 min.
    expect(first!.until_s - 15 * 60 - back_s).toBeGreaterThanOrEqual(5 * 60)
    for (const command of again.door().commands) expect(command.fence).toBeGreaterThan(fence)
  })

  it('hears the readings that were stored after the last written state, late ones too', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(3, { 'Probe.beer': 18, 'Float.gravity': 1.05 })
    // Stored by the last gasp of the software, which did not come to call the engine.
    const late_ms = house.time.now_ms() + 20_000
    const stream = { vessel: VESSEL, instrument: 'Float', quantity: 'gravity' }
    await house.store.addReadings([{ ...stream, value: 1.049, at_ms: late_ms, status: 'good' }])

    const again = killAndReopen(house, 60)
    const { state } = again.cellar.view(batch)
    const history = state.channels.flatMap(channel => channel.history.map(([, value]) => value))
    expect(history).toContain(1.049)
  })

  it('starts a batch that was written down but never begun, and ends one whose end was not written down', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    const record = house.store.batch(batch)!
    house.cellar.abort(batch, 'Test')
    house.store.updateBatch(batch, { ended_ms: null })
    const again = killAndReopen(house, 10)
    expect(again.store.batch(batch)?.ended_ms).not.toBeNull()

    again.store.createBatch({ ...record, id: 'never-begun' })
    const third = killAndReopen(again, 10)
    expect(third.cellar.view('never-begun')).toMatchObject({ stage: 'Primary' })
    expect(third.kinds('never-begun').slice(0, 2)).toEqual(['edit', 'decision: batch'])
  })

  it('goes on by a plan that was changed, even when only the journal had heard of it', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    const { planText } = house.store.batch(batch)!
    house.cellar.changePlan(batch, planText.replace('hold: 18 °C', 'hold: 17 °C'), 'Test')
    house.store.updateBatch(batch, { planText })
    const again = killAndReopen(house, 10)
    expect(again.cellar.view(batch).target_C).toBe(17)
  })

  it('takes up the other batches when one can not be taken up', () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    const record = house.store.batch(batch)!
    house.store.createBatch({ ...record, id: 'broken', planText: 'plan: [' })
    const again = killAndReopen(house, 10)
    expect(again.troubles).toEqual(['not taken up'])
    expect(again.cellar.view(batch).state.batch).toBe('running')
    again.cellar.stop('broken', 'Test')
    expect(again.store.batch('broken')?.ended_ms).toBe(again.time.now_ms())
  })

  it('lets go of a batch whose state is damaged: it can be stopped, and the vessel used again', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    house.store.appendJournal(batch, [], { ...house.cellar.view(batch).state, channels: null })
    const again = killAndReopen(house, 10)
    expect(again.troubles).toEqual(['not taken up'])
    await again.hear({ 'Probe.beer': 18 })
    again.cellar.stop(batch, 'Test')
    expect(again.start()).not.toBe(batch)
  })

  it('never lets two batches control one vessel: the latest goes on', () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    const record = house.store.batch(batch)!
    house.store.createBatch({ ...record, id: 'repaired', started_ms: record.started_ms - 86_400_000 })
    const again = killAndReopen(house, 10)
    expect(again.troubles).toEqual(['not taken up'])
    expect(again.cellar.view(batch).state.batch).toBe('running')
    expect(() => again.cellar.hold('repaired', 'Test')).toThrow(/Nobody looks after repaired/)
  })
})

describe('records in memory', () => {
  it('share no object between two cellars, as a file would', () => {
    const store = new MemoryStore()
    const house = new SmallCellar(store)
    house.addVessel()
    expect(store.vessels()[0]).not.toBe(store.vessels()[0])
  })
})

describe('a cellar on records in a file', () => {
  it('is taken up from the file alone', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'attemper-'))
    try {
      const file = join(folder, 'cellar.db')
      const first = openSqliteStore(file)
      const house = new SmallCellar(first)
      house.addVessel()
      await house.hear({ 'Probe.beer': 18 })
      const batch = house.start()
      await house.keepHearing(3, { 'Probe.beer': 18.2 })
      expect(house.cellar.view(batch).beer_C).toBe(18.2)
      house.cellar.goTo(batch, 'Warm finish', 'Test')
      first.close()

      const second = openSqliteStore(file)
      const again = new SmallCellar(second, new ManualTime(house.time.now_ms() + 60_000))
      const view = again.cellar.view(batch)
      expect(view.stage).toBe('Warm finish')
      // What it was before is remembered, but not believed before it has been read anew.
      expect(view.beer_C).toBeNull()
      expect(view.state.channels.map(({ value }) => value)).toContain(18.2)
      await again.keepHearing(2, { 'Probe.beer': 18.3 })
      expect(again.cellar.view(batch).beer_C).toBe(18.3)
      expect(second.journal(batch).map(({ kind }) => kind)).toContain('gap')
      await again.cellar.close()
      second.close()
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})
