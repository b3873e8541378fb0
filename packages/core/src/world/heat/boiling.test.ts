import { expect, test } from 'vitest'
import { nominalPlant } from '../plant.ts'
import { kettle, mash, START_s } from '../testing/vessels.ts'
import { World } from '../world.ts'

test('a kettle comes to the boil, stays there, gives its power away as steam, and cools when switched off', () => {
  const vessel = kettle()
  const beer = mash(90)
  const plant = nominalPlant(vessel, beer)
  const world = new World({ vessel, beer, plant, faults: [], seed: 1, start_s: START_s })
  const before_J = world.truth.stored_J
  world.apply([{ appliance: 'heater', on: true, until_s: START_s + 5000, fence: 1 }])
  let boilsAfter_s = 0
  for (let t_s = 1; t_s < 5000; t_s++) {
    world.advanceTo(START_s + t_s)
    const { beer_C } = world.truth
    if (boilsAfter_s === 0 && beer_C >= 100) boilsAfter_s = t_s
    if (boilsAfter_s > 0) expect(beer_C).toBeGreaterThanOrEqual(100)
    expect(beer_C).toBeLessThan(100.2)
  }
  // 10 K x beer, and the element some 20 K above it, at 3 kW less some 300 W to the room: about 400 s.
  const { beer_J_per_K } = plant
  expect(boilsAfter_s).toBeGreaterThan((10 * beer_J_per_K) / 3000)
  expect(boilsAfter_s).toBeLessThan((10 * beer_J_per_K + 40 * 1500) / 2500)
  world.advanceTo(START_s + 8000)
  expect(world.truth.beer_C).toBeLessThan(99.9)
  const { heater, lost_J, stored_J } = world.truth
  expect(heater.heat_J).toBeCloseTo(5000 * 3000, 3)
  expect(Math.abs(heater.heat_J - lost_J - (stored_J - before_J))).toBeLessThan(1e-6 * heater.heat_J)
})
