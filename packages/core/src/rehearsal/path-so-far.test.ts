import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { fallingPath, pathOfRun, pathSoFar } from './path-so-far.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import { prepare } from './setup.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}.yaml`, import.meta.url), 'utf8')

test('each gravity has the temperature of its time', () => {
  const gravity = [10, 100, 250, 900].map((at_s, n) => ({ at_s, mean: 1.05 - n / 100 }))
  const beer_C = [0, 200, 300].map((at_s, n) => ({ at_s, mean: 18 + n }))
  expect(pathSoFar(gravity, beer_C, 150)).toEqual([
    // Too far from 200: only the one before is near.
    { at_s: 10, gravity: 1.05, beer_C: 18 },
    { at_s: 100, gravity: 1.04, beer_C: 18.5 },
    { at_s: 250, gravity: 1.03, beer_C: 19.5 },
  ])
  expect(pathSoFar(gravity, [], 150)).toEqual([])
  expect(pathSoFar([], beer_C, 150)).toEqual([])
  expect(pathSoFar([{ at_s: 200, mean: 1.02 }], beer_C, 0)[0]!.beer_C).toBe(19)
})

test('a path whose gravity is noisy becomes one that only falls, with the same means', () => {
  const points = [1.05, 1.04, 1.045, 1.044, 1.02, 1.02, 1.01].map((gravity, n) => ({
    at_s: n,
    gravity,
    beer_C: 18 + n,
  }))
  const path = fallingPath(points)
  expect(path.map(({ gravity }) => Number(gravity.toFixed(4)))).toEqual([1.05, 1.043, 1.02, 1.01])
  expect(path.map(({ beer_C, at_s }) => [beer_C, at_s])).toEqual([
    [18, 0],
    [20, 2],
    [22.5, 4.5],
    [24, 6],
  ])
  expect(fallingPath(path)).toEqual(path)
  expect(fallingPath([])).toEqual([])
})

test('the nominal path of a plan has its transitions on it', () => {
  const { plan } = readPlan(example('amber-ale.plan'), 'plan')
  const { vessel } = readVessel(example('garage-fridge.vessel'), 'vessel')
  const { beer } = readBeer(example('amber-ale.beer'), 'beer')
  const setup = prepare(plan!, vessel!, beer!, { seed: 1 })
  const { gravity, beer_C, target_C, transitions } = pathOfRun(setup, simulateRun(setup, NOMINAL_RUN))
  expect(transitions.map(({ from, to }) => [from, to])).toEqual([
    ['Primary', 'Warm finish'],
    ['Warm finish', 'Crash'],
    ['Crash', null],
  ])
  expect([gravity.length, target_C.length]).toEqual([beer_C.length, beer_C.length])
  // "Above final: 10 points" of a beer that ends at 1.012, looked at every half hour.
  expect(transitions[0]!.gravity).toBeCloseTo(1.022, 2)
  expect(transitions[0]!.beer_C).toBeCloseTo(18, 0)
  expect(transitions.at(-1)!.beer_C).toBeCloseTo(2, 0)
})
