import { expect, test } from 'vitest'
import { nominalPlant } from './plant.ts'
import { runThermostat } from './testing/thermostat.ts'
import { ale, bucket, fridge, START_s } from './testing/vessels.ts'
import { World } from './world.ts'

/**
 * The kinetics of the world are stepped each 300 s, with heat and room held constant meanwhile. Against 60 s that costs
 * less than 0.005 K in a beer that is left alone and less than 0.05 points; with a thermostat the joules of the appliances
 * stay within 3 %.
 */
test('a kinetics step of 300 s against 60 s: a beer left alone', () => {
  const vessel = bucket()
  const beer = ale()
  const [usual, fine] = [300, 60].map(
    kineticsStep_s =>
      new World({
        vessel,
        beer,
        plant: nominalPlant(vessel, beer),
        faults: [],
        seed: 1,
        start_s: START_s,
        kineticsStep_s,
      }),
  ) as [World, World]
  for (let hour = 1; hour <= 240; hour++) {
    usual.advanceTo(START_s + 3600 * hour)
    fine.advanceTo(START_s + 3600 * hour)
    expect(Math.abs(usual.truth.beer_C - fine.truth.beer_C)).toBeLessThan(0.005)
    expect(Math.abs(usual.truth.gravity_SG - fine.truth.gravity_SG)).toBeLessThan(0.00005)
  }
  expect(usual.truth.gravity_SG).toBeLessThan(1.03)
})

test('a kinetics step of 300 s against 60 s: energy under a thermostat', () => {
  const vessel = fridge()
  const beer = ale()
  const [usual, fine] = [300, 60].map(kineticsStep_s => {
    const plant = nominalPlant(vessel, beer)
    const world = new World({ vessel, beer, plant, faults: [], seed: 1, start_s: START_s, kineticsStep_s })
    runThermostat(world, 19, START_s + 14 * 86_400)
    return world.truth
  }) as [World['truth'], World['truth']]
  expect(Math.abs(usual.heater.heat_J / fine.heater.heat_J - 1)).toBeLessThan(0.03)
  expect(Math.abs(usual.yeast_J / fine.yeast_J - 1)).toBeLessThan(0.001)
  expect(Math.abs(usual.gravity_SG - fine.gravity_SG)).toBeLessThan(0.00005)
})
