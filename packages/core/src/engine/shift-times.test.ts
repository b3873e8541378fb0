import { expect, it } from 'vitest'
import { compile } from './compile.ts'
import type { EngineState } from './contract.ts'
import { initialState } from './initial.ts'
import { shiftTimes } from './shift-times.ts'
import { smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

const program = compile(smallPlan([stage({ name: 'Primary' })]), smallVessel(), smallBeer())

/** Every number whose name says that it is a moment (`…At_s`, `…Since_s`, `…Until_s`, `now_s`, …), with the way to it. */
function moments(value: unknown, way = ''): (readonly [string, number])[] {
  if (typeof value === 'number')
    return /(?:^|\.)(?:\w*_s|history\.\d+\.0|sure\.0)$/.test(way) ? [[way, value]] : []
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, part]) => moments(part, way === '' ? key : `${way}.${key}`))
}

/** How long something has lasted does not move with the clock. */
const LASTS = ['heldInStage_s', 'heldSinceReached_s']

// A clock that is put right must not age a batch: a moment that is forgotten here would make it a year older.
it('every moment of a state is moved with the clock, and nothing else', () => {
  const before = initialState(program)
  const appliance = {
    ...before.heater,
    on: true,
    since_s: 10,
    ranUntil_s: 20,
    leaseUntil_s: 30,
    watchFrom_s: 40,
    watchFrom_C: 18,
  }
  const state: EngineState = {
    ...before,
    startedAt_s: 100,
    now_s: 200,
    stageSince_s: 300,
    reachedAt_s: 400,
    hold: { since_s: 410, by: 'brewer', keeps_C: 18 },
    heldInStage_s: 420,
    heldSinceReached_s: 430,
    unknownSince_s: 500,
    lateAt_s: 600,
    lookedAt_s: 610,
    restartedAt_s: 620,
    channels: before.channels.map(each => ({
      ...each,
      value: 18,
      at_s: 700,
      row: { since_s: 710, varies: true },
      sure: [720, 18] as const,
      stuckSince_s: 730,
      still: { since_s: 740, value: 18, other: -1, otherValue: 0 },
      history: [[690, 18] as const, [700, 18.5] as const],
    })),
    dwells: [{ trueSince_s: 800 }, { trueSince_s: null }],
    declined: [{ key: 'late|Primary|', until_s: 900 }],
    disagreeing: [{ quantity: 0, since_s: 950, said: true }],
    heater: appliance,
    cooler: { ...appliance, since_s: 11 },
    thermostat: {
      set_C: 18,
      why: 'target',
      leaseUntil_s: 1000,
      watchTowards: 'warmer',
      watchFrom_s: 1100,
      watchFrom_C: 17,
      hasResponded: true,
      lockedOut: false,
    },
    controller: { ...before.controller, windowFrom_s: 1200, heatUntil_s: 1300, coolUntil_s: 1400 },
  }
  const after = shiftTimes(state, 5000)
  const expected = moments(state).map(([way, at_s]) => [way, LASTS.includes(way) ? at_s : at_s + 5000])
  expect(expected.length).toBeGreaterThan(25)
  expect(moments(after)).toEqual(expected)
  const plain = (each: EngineState) => JSON.parse(JSON.stringify(shiftTimes(each, 0))) as unknown
  expect(plain(shiftTimes(after, -5000))).toEqual(plain(state))
  expect(shiftTimes(after, -5000)).toEqual(state)
})

it('what is not known stays unknown', () => {
  const state = initialState(program)
  expect(shiftTimes(state, 5000)).toEqual({
    ...state,
    stageSince_s: 5000,
    controller: { ...state.controller, heatUntil_s: 5000, coolUntil_s: 5000 },
  })
})
