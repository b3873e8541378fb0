import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import type { EngineEvent } from '../engine/events.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { drive } from './drive.ts'
import { rehearseFromNow } from './from-now.ts'
import { simulateRun } from './run.ts'
import { prepare, type Setup } from './setup.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}.yaml`, import.meta.url), 'utf8')
const DAY_S = 86_400

function setupOf(planText: string): Setup {
  const { plan } = readPlan(planText, 'plan')
  const { vessel } = readVessel(example('garage-fridge.vessel'), 'vessel')
  const { beer } = readBeer(example('amber-ale.beer'), 'beer')
  return prepare(plan!, vessel!, beer!, { seed: 1 })
}

/** The nominal batch itself as the present, some days after pitching. */
function presentAfter(setup: Setup, days: number) {
  const { vessel, beer, program, seed, start_s, sample_s } = setup
  const world = new World({ vessel, beer, plant: nominalPlant(vessel, beer), faults: [], seed, start_s })
  const brewer = {
    answersAt_s: (_: unknown, asked_s: number) => asked_s + 3600,
    answer: () => 'yes' as const,
  }
  const silent = { outcome: () => undefined, sample: () => undefined }
  const end_s = start_s + days * DAY_S
  const { state } = drive(program, world, brewer, silent, { start_s, end_s, sample_s, everySecond: false })
  return { now_s: end_s, state, gravity: world.truth.gravity_SG, beer_C: world.truth.beer_C }
}

function transitions(events: readonly EngineEvent[]) {
  return events.flatMap(event => {
    if (event.kind === 'stage') return [{ to: event.stage, at_s: event.at_s }]
    return event.kind === 'batch' && event.to === 'complete' ? [{ to: 'complete', at_s: event.at_s }] : []
  })
}

describe('a rehearsal from now', () => {
  const setup = setupOf(example('amber-ale.plan'))

  test.each([1, 3, 5])(
    'after %d days makes the transitions that are still to come, when the whole run did',
    days => {
      const whole = transitions(simulateRun(setup, 0, [], { keepEvents: true }).events!)
      const present = presentAfter(setup, days)
      const rest = transitions(rehearseFromNow(setup, setup, present).events)
      const wanted = whole.filter(({ at_s }) => at_s > present.now_s)
      expect(rest.map(({ to }) => to)).toEqual(wanted.map(({ to }) => to))
      wanted.forEach(({ at_s }, n) => {
        // The brewer sleeps: an answer may come half a day later.
        expect(Math.abs(rest[n]!.at_s - at_s)).toBeLessThan(0.6 * DAY_S)
      })
    },
  )

  test('follows a changed plan', () => {
    const longer = setupOf(example('amber-ale.plan').replace('stage lasted: 3 d', 'stage lasted: 8 d'))
    const present = presentAfter(setup, 3)
    const readyAt_s = (after: Setup) =>
      transitions(rehearseFromNow(setup, after, present).events).at(-1)!.at_s
    expect(readyAt_s(longer)).toBeGreaterThan(readyAt_s(setup) + 3 * DAY_S)
  })

  test('begins with the beer as it is: one that is further along moves on sooner', () => {
    const present = presentAfter(setup, 1)
    const nextAt_s = (ahead_SG: number) => {
      const gravity = present.gravity - ahead_SG
      return transitions(rehearseFromNow(setup, setup, { ...present, gravity }).events)[0]!.at_s
    }
    expect(nextAt_s(0.008)).toBeLessThan(nextAt_s(0) - 0.2 * DAY_S)
  })
})
