import { expect, test } from 'vitest'
import {
  channel,
  instrument,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  when,
} from '../engine/testing/small-house.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import { prepare } from './setup.ts'

/*
 * A batch was started while the float still stood in a jug of water on the bench, and its first readings were taken for the
 * wort's. What a float says before it can be shown to be in the wort says nothing about the beer.
 */
const HOUR_S = 3600
const vessel = smallVessel({
  instruments: [
    instrument('Probe', 60, [channel({ quantity: 'beer', noise: 0.03, bias: { value: 0, sd: 0.1 } })]),
    instrument('Float', 900, [
      channel({ quantity: 'gravity', noise: 0.0003 }),
      channel({ quantity: 'beer', noise: 0.05, lag_s: 600 }),
    ]),
  ],
})
const beer = smallBeer({ originalGravityFrom: 'float' })
const plan = smallPlan([
  stage({ name: 'Primary', until: when({ kind: 'attenuation', atLeast: 0.5 }), atMost_s: 14 * 86_400 }),
])
const setup = prepare(plan, vessel, beer, { seed: 5 })

function originalGravities(outside_h: number) {
  const [from_s, to_s] = [setup.start_s, setup.start_s + outside_h * HOUR_S]
  const fault = { kind: 'float not in wort', instrument: 'Float', from_s, to_s } as const
  const { events } = simulateRun(setup, NOMINAL_RUN, outside_h === 0 ? [] : [fault], { keepEvents: true })
  return events!.filter(event => event.kind === 'original gravity')
}

test.each([
  [0, 1, 2],
  [3, 4, 5],
])(
  'a float that is put in %i h after pitching tells the original gravity between %i h and %i h',
  (outside_h, least_h, most_h) => {
    const [taken, ...more] = originalGravities(outside_h)
    expect(more).toEqual([])
    expect(taken).toMatchObject({ from: 'float', instrument: 'Float', before: 1.05 })
    expect(Math.abs(taken!.gravity - 1.05)).toBeLessThan(0.001)
    const after_h = (taken!.at_s - setup.start_s) / HOUR_S
    expect(after_h).toBeGreaterThan(least_h)
    expect(after_h).toBeLessThan(most_h)
  },
)

test('a float that is put in too late does not: by then the yeast may have begun', () => {
  expect(originalGravities(7)).toMatchObject([{ from: 'beer file', gravity: 1.05, instrument: null }])
})
