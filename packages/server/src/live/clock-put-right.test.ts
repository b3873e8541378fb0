import { readCase } from '@attemper/core/batch/batch-case.ts'
import { advance } from '@attemper/core/engine/advance.ts'
import type { EngineState, Inputs } from '@attemper/core/engine/contract.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import { shiftTimes } from '@attemper/core/engine/shift-times.ts'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { ManualTime } from './testing/manual-time.ts'
import { AMBER_ALE, AMBER_BEER, FRIDGE, SmallCellar, START_S, smallCellar } from './testing/small-cellar.ts'

const { program } = readCase({
  planText: AMBER_ALE,
  vesselText: FRIDGE,
  beerText: AMBER_BEER,
  localOffset_s: 0,
}).batch!
const BY_S = -5000

describe('a state whose times are moved', () => {
  it('decides the same as before, at the moved times', ({ task }) => {
    const step = fc.record({
      after_s: fc.integer({ min: 1, max: 40_000 }),
      beer_C: fc.double({ min: 15, max: 22, noNaN: true }),
      gravity: fc.double({ min: 1.01, max: 1.05, noNaN: true }),
      answer: fc.constantFrom('yes' as const, 'not yet' as const),
    })
    judge(task, { cases: 40, seed: 5 }, [fc.array(step, { minLength: 2, maxLength: 30 })], steps => {
      let now_s = START_S
      let state = initialState(program)
      let moved: EngineState | null = null
      let inputs: Inputs = { now_s, readings: [], answers: [], edits: [{ kind: 'start' }] }
      for (const { after_s, beer_C, gravity, answer } of steps) {
        const outcome = advance(program, state, inputs)
        if (moved) {
          const readings = inputs.readings.map(each => ({ ...each, at_s: each.at_s + BY_S }))
          const again = advance(program, moved, { ...inputs, now_s: now_s + BY_S, readings })
          expect(again.state).toEqual(shiftTimes(outcome.state, BY_S))
          const plain = (events: readonly { kind: string; at_s: number }[], by_s: number) =>
            events.map(({ kind, at_s }) => [kind, at_s + by_s])
          expect(plain(again.events, 0)).toEqual(plain(outcome.events, BY_S))
          expect(again.stands.until_s).toBe(outcome.stands.until_s + BY_S)
        }
        ;({ state } = outcome)
        moved = shiftTimes(state, BY_S)
        now_s += after_s
        const numberOf = (quantity: string) =>
          program.channels.findIndex(each => program.quantities[each.quantity]!.name === quantity)
        inputs = {
          now_s,
          readings: [
            { channel: numberOf('beer'), value: beer_C, at_s: now_s },
            { channel: numberOf('gravity'), value: gravity, at_s: now_s },
          ],
          answers: state.questions.map(({ id }) => ({ question: id, answer })),
          edits: [],
        }
      }
      return steps.length - 1
    })
  })
})

describe("a machine's clock that is set under a running batch", () => {
  const HOUR_MS = 3_600_000
  const YEARS_MS = 5 * 365 * 24 * HOUR_MS

  async function cooling() {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(120, { 'Probe.beer': 19 })
    expect(house.cellar.view(batch).cooler?.on).toBe(true)
    house.door().take()
    return { house, batch }
  }

  it.each([
    ['back', -HOUR_MS],
    ['forward', YEARS_MS],
  ])(
    '%s: its times go with it, all is commanded anew on the new clock, and somebody is told',
    async (_, by_ms) => {
      const { house, batch } = await cooling()
      house.time.putClock(by_ms)
      await house.keepHearing(1, { 'Probe.beer': 19 })
      const { state, sentence } = house.cellar.view(batch)
      expect(house.now_s - state.stageSince_s).toBe(121 * 60)
      expect(sentence).toContain('in Primary for 2 hours')
      expect(house.troubles).toEqual(['clock set'])
      expect(house.cellar.why(batch, 'heater')).toMatch(/^Heater off since the machine's clock was set on /)
      expect(house.door().commands.find(({ appliance }) => appliance === 'cooler')).toMatchObject({
        on: false,
      })
      await house.keepHearing(15, { 'Probe.beer': 19 })
      expect(house.cellar.view(batch).cooler?.on).toBe(true)
      for (const { until_s } of house.door().commands)
        expect(until_s).toBeLessThanOrEqual(house.now_s + 15 * 60)
      expect(house.kinds(batch)).toContain('clock set')
    },
  )

  it('forward by years and back again: the batch is as old as it was, and in the same stage', async () => {
    const { house, batch } = await cooling()
    house.time.putClock(YEARS_MS)
    await house.keepHearing(30, { 'Probe.beer': 19 })
    house.time.putClock(-YEARS_MS)
    await house.keepHearing(30, { 'Probe.beer': 19 })
    const { state, stage } = house.cellar.view(batch)
    expect(stage).toBe('Primary')
    expect(house.now_s - state.startedAt_s!).toBe(180 * 60)
    expect(house.now_s - state.stageSince_s).toBe(180 * 60)
  })

  it('by seconds, as clocks are put right every day: nobody is told, and no lease ends later than it should', async () => {
    const { house } = await cooling()
    house.time.putClock(-45_000)
    await house.keepHearing(15, { 'Probe.beer': 19 })
    expect(house.troubles).toEqual([])
    const last = house.door().commands.at(-1)!
    expect(last.until_s).toBeLessThanOrEqual(house.now_s + 15 * 60)
  })
})

describe('a start of the software with another clock than the records', () => {
  const HOUR_MS = 3_600_000
  const YEARS_MS = 5 * 365 * 24 * HOUR_MS
  /** It is killed with the heater on, and another one opens the records, on a clock that stands so far from theirs. */
  async function killedWhileHeating(
    clock_ms: number,
    before: (house: SmallCellar) => Promise<void> = async () => undefined,
  ) {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(30, { 'Probe.beer': 17 })
    await before(house)
    expect(house.cellar.view(batch).heater?.on).toBe(true)
    const ageBefore_s = house.now_s - house.cellar.view(batch).state.startedAt_s!
    const again = new SmallCellar(house.store, new ManualTime(house.time.now_ms() + clock_ms))
    const age_s = () => again.now_s - again.cellar.view(batch).state.startedAt_s!
    return { house, again, batch, ageBefore_s, age_s }
  }

  it('an hour back: no command is later than the clock and the lease, new readings count, and it is too warm at once', async () => {
    const { again, batch, ageBefore_s, age_s } = await killedWhileHeating(-HOUR_MS)
    expect(again.troubles).toEqual(['clock set'])
    const [first] = again.door().commands.filter(({ appliance }) => appliance === 'heater')
    expect(first).toMatchObject({ on: false })
    expect(again.cellar.view(batch).heater?.on).toBe(false)
    expect(Math.abs(age_s() - ageBefore_s)).toBeLessThanOrEqual(60)
    await again.keepHearing(5, { 'Probe.beer': 50 })
    const view = again.cellar.view(batch)
    expect(view.heater?.on).toBe(false)
    expect(view.state.channels.map(({ at_s }) => at_s)).toContain(again.now_s)
    for (const { until_s } of again.door().commands)
      expect(until_s).toBeLessThanOrEqual(again.now_s + 15 * 60)
  })

  it('the board learns the time from the network a quarter of an hour later: the time of the power cut has passed after all', async () => {
    const { again, ageBefore_s, age_s } = await killedWhileHeating(-HOUR_MS)
    await again.keepHearing(15, { 'Probe.beer': 17 })
    // It was off for three hours.
    again.time.putClock(4 * HOUR_MS)
    await again.keepHearing(1, { 'Probe.beer': 17 })
    expect(Math.abs(age_s() - (ageBefore_s + 16 * 60 + 3 * 3600))).toBeLessThanOrEqual(60)
    expect(again.troubles).toEqual(['clock set', 'clock set'])
  })

  it('the alarm about the clock is over when nobody has set it for an hour', async () => {
    const { again } = await killedWhileHeating(-HOUR_MS)
    await again.keepHearing(59, { 'Probe.beer': 17 })
    expect(again.troubles).toEqual(['clock set'])
    await again.keepHearing(2, { 'Probe.beer': 17 })
    expect(again.troubles).toEqual(['clock set', 'clock steady'])
  })

  it('a day later the network says nothing about the time for which it was away', async () => {
    const { again, ageBefore_s, age_s } = await killedWhileHeating(-HOUR_MS)
    await again.keepHearing(24 * 60, { 'Probe.beer': 17 })
    again.time.putClock(4 * HOUR_MS)
    await again.keepHearing(1, { 'Probe.beer': 17 })
    expect(Math.abs(age_s() - (ageBefore_s + 24 * 3600 + 60))).toBeLessThanOrEqual(60)
  })

  it('killed while it was years ahead, and started on the right clock: the batch is as old as it is', async () => {
    const { again, ageBefore_s, age_s } = await killedWhileHeating(-YEARS_MS + 600_000, async house => {
      house.time.putClock(YEARS_MS)
      await house.keepHearing(20, { 'Probe.beer': 17 })
    })
    // The ten minutes for which it was away have passed.
    expect(Math.abs(age_s() - (ageBefore_s + 600))).toBeLessThanOrEqual(60)
    for (const { until_s } of again.door().commands)
      expect(until_s).toBeLessThanOrEqual(again.now_s + 15 * 60)
  })

  it('years ahead: the batch does not age by years, and somebody is told', async () => {
    const { again, batch, ageBefore_s, age_s } = await killedWhileHeating(YEARS_MS)
    expect(again.troubles).toEqual(['clock set'])
    expect(Math.abs(age_s() - ageBefore_s)).toBeLessThanOrEqual(60)
    expect(again.cellar.view(batch).stage).toBe('Primary')
  })

  it('what was stored before the clock was put back is not told as new', async () => {
    const { house, again, batch } = await killedWhileHeating(60_000, async each => {
      each.time.moveTo(each.time.now_ms() + 20_000)
      await each.hear({ 'Probe.beer': 17.5 })
      each.time.putClock(-600_000)
      await each.keepHearing(7, { 'Probe.beer': 17 })
    })
    // In the records stand readings of up to three minutes from now; they are of ten minutes ago.
    const future = house.store.readings(
      { vessel: 'Garage fridge', instrument: 'Probe', quantity: 'beer' },
      again.time.now_ms() + 1,
      again.time.now_ms() + 600_000,
    )
    expect(future.map(({ value }) => value)).toContain(17.5)
    expect(again.cellar.view(batch).beer_C).not.toBe(17.5)
    const channel = again.cellar.view(batch).state.channels.find(({ value }) => value === 17)
    expect(channel?.at_s).toBeLessThanOrEqual(again.now_s - 60)
  })
})
