import { readCase } from '@attemper/core/batch/batch-case.ts'
import { advance } from '@attemper/core/engine/advance.ts'
import type { EngineState, Inputs } from '@attemper/core/engine/contract.ts'
import { initialState } from '@attemper/core/engine/initial.ts'
import { shiftTimes } from '@attemper/core/engine/shift-times.ts'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
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
  it('decides the same as before, at the moved times', () => {
    const step = fc.record({
      after_s: fc.integer({ min: 1, max: 40_000 }),
      beer_C: fc.double({ min: 15, max: 22, noNaN: true }),
      gravity: fc.double({ min: 1.01, max: 1.05, noNaN: true }),
      answer: fc.constantFrom('yes' as const, 'not yet' as const),
    })
    fc.assert(
      fc.property(fc.array(step, { minLength: 2, maxLength: 30 }), steps => {
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
      }),
      { numRuns: 40, seed: 5 },
    )
  })
})

describe("a machine's clock that is put back", () => {
  it('moves the times of a running batch with it, and says so', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(120, { 'Probe.beer': 18 })
    house.time.standAt(house.time.now_ms() - 3600_000)
    await house.keepHearing(10, { 'Probe.beer': 19 })
    const { state, sentence, cooler } = house.cellar.view(batch)
    // The minute between the last call before and the first one after can not be measured.
    expect(house.now_s - state.stageSince_s).toBe(129 * 60)
    expect(sentence).toContain('in Primary for 2 hours')
    expect(cooler?.on).toBe(true)
    expect(house.troubles).toEqual(['clock put back'])
  })

  it('below what the records hold at a start of the software: nothing runs until it has caught up', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(30, { 'Probe.beer': 19 })
    const before = house.cellar.view(batch).state
    const again = new SmallCellar(house.store, new ManualTime(0))
    expect(again.troubles).toEqual(['clock behind'])
    await again.keepHearing(10, { 'Probe.beer': 19 })
    expect(again.cellar.view(batch).cooler?.on).toBe(false)
    again.time.standAt(house.time.now_ms() + 60_000)
    await again.keepHearing(10, { 'Probe.beer': 19 })
    const { state, cooler } = again.cellar.view(batch)
    expect(cooler?.on).toBe(true)
    expect(state.stageSince_s).toBe(before.stageSince_s)
  })
})
