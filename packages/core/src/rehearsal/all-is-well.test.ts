import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { type BeerMoment, rememberMoment } from '../batch/course-of-beer.ts'
import { type Doubt, doubtsOf } from '../batch/doubts.ts'
import { measuredValue } from '../batch/measured.ts'
import { sentenceContext } from '../batch/sentence-context.ts'
import { readBeer } from '../beer/read-beer.ts'
import type { EngineState } from '../engine/contract.ts'
import { readPlan } from '../plan/read-plan.ts'
import { runSeed } from '../random/draw.ts'
import { USUAL_UNITS } from '../units/display.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { noisyPlant } from '../world/testing/vessels.ts'
import { World } from '../world/world.ts'
import { drive } from './drive.ts'
import { NOMINAL_RUN } from './run.ts'
import { prepare } from './setup.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}.yaml`, import.meta.url), 'utf8')

/** A batch under the model, judged every few minutes as the live cellar does; appliances obey, and no alarm is counted. */
function judged(plan: string, vesselName: string, beerName: string, days: number, isDead = false) {
  const read = readPlan(example(plan), 'plan').plan!
  const declared = readVessel(example(vesselName), 'vessel').vessel!
  // A dead cooler is missed in a warm room; the example's garage is colder than the beer.
  const vessel = isDead ? { ...declared, room: { ...declared.room, mean_C: { value: 22, sd: 0 } } } : declared
  const beer = readBeer(example(beerName), 'beer').beer!
  const setup = prepare(read, vessel, beer, { seed: 1 })
  const { program, start_s } = setup
  const context = sentenceContext(read, vessel, USUAL_UNITS)
  const world = new World({
    vessel,
    beer,
    plant: noisyPlant(vessel, beer),
    faults: isDead ? [{ kind: 'cooler dead', from_s: start_s, to_s: Number.POSITIVE_INFINITY }] : [],
    seed: runSeed(1, NOMINAL_RUN),
    start_s,
  })
  let past: readonly BeerMoment[] = []
  let moments = 0
  const doubted: { at_h: number; stage: string; doubt: Doubt }[] = []
  const observer = {
    outcome: () => undefined,
    sample: (now_s: number, _: World, state: EngineState) => {
      // With the first reading alone nobody knows how the beer is; the second one supports it.
      if (now_s === start_s) return
      const beerNow = measuredValue(program, state, program.beer, context, now_s)
      if (beerNow?.isBelieved && state.target_C !== null) {
        past = rememberMoment(past, { at_s: now_s, beer_C: beerNow.value, target_C: state.target_C })
      }
      moments++
      const standing = { program, state, context, now_s, links: [], past, alarms: [], heldBy: null }
      for (const doubt of doubtsOf({ ...standing, unwrittenSince_s: null, isKept: true })) {
        if (doubt.kind === 'question') continue
        doubted.push({
          at_h: (now_s - start_s) / 3600,
          stage: program.stages[state.stage]?.name ?? '',
          doubt,
        })
      }
    },
  }
  const brewer = {
    answersAt_s: (_: unknown, asked_s: number) => asked_s + 3600,
    answer: () => 'yes' as const,
  }
  const end_s = start_s + days * 86_400
  drive(program, world, brewer, observer, {
    start_s,
    end_s,
    sample_s: 300,
    everySecond: false,
    everySample: true,
  })
  return { moments, doubted }
}

test.each([
  ['amber-ale.plan', 'garage-fridge.vessel', 'amber-ale.beer', 20],
  ['lager.plan', 'jacketed-tank.vessel', 'lager.beer', 30],
])('%s in %s: as the model has it, all is well, ramps and crashes too', (plan, vessel, beer, days) => {
  const { moments, doubted } = judged(plan, vessel, beer, days)
  expect(moments).toBeGreaterThan(2000)
  expect(doubted.slice(0, 5)).toEqual([])
})

test('with a dead cooler a crash that does not come about is known soon after it has begun', () => {
  const { doubted } = judged('amber-ale.plan', 'garage-fridge.vessel', 'amber-ale.beer', 8, true)
  const inCrash = doubted.filter(({ stage, doubt }) => stage === 'Crash' && doubt.kind === 'off target')
  expect(inCrash.length).toBeGreaterThan(20)
  expect(inCrash.map(({ doubt }) => doubt.kind === 'off target' && doubt.by_K > 10)).toContain(true)
})
