import { expect, test } from 'vitest'
import { drawFor } from '../random/draw.ts'
import { drawPlant } from './plant.ts'
import { runThermostat } from './testing/thermostat.ts'
import { ale, bucket, fridge, START_s } from './testing/vessels.ts'
import { World } from './world.ts'

const DAYS_14_s = 14 * 86_400

test.each([fridge(), bucket()])('energy in = stored + lost over 14 days: $name', vessel => {
  const beer = ale()
  for (let run = 0; run < 4; run++) {
    const plant = drawPlant(vessel, beer, drawFor(5, run))
    const faults = [
      { kind: 'door open', factor: 15, from_s: START_s + 100_000, to_s: START_s + 103_000 } as const,
      { kind: 'room warmer', by_K: 9, from_s: START_s + 300_000, to_s: START_s + 500_000 } as const,
    ]
    const world = new World({ vessel, beer, plant, faults, seed: run, start_s: START_s })
    const before_J = world.truth.stored_J
    runThermostat(world, 19, START_s + DAYS_14_s)
    const { heater, cooler, yeast_J, lost_J, stored_J } = world.truth
    const stored = stored_J - before_J
    const balance_J = heater.heat_J + yeast_J - cooler.heat_J - lost_J - stored
    const turnover_J = heater.heat_J + yeast_J + cooler.heat_J + Math.abs(lost_J)
    expect(heater.starts + cooler.starts).toBeGreaterThan(10)
    expect(yeast_J).toBeGreaterThan(500_000)
    expect(Math.abs(balance_J)).toBeLessThan(0.001 * turnover_J)
  }
})

test('the yeast gives 0.587 kJ for each gram of extract that the gravity says it ate', () => {
  const vessel = fridge()
  const beer = ale({ finalGravity: { value: 1.012, sd: 0 } })
  const plant = { ...drawPlant(vessel, beer, drawFor(5, 9)), volume_L: 20 }
  const world = new World({ vessel, beer, plant, faults: [], seed: 1, start_s: START_s })
  runThermostat(world, 20, START_s + DAYS_14_s)
  const { yeast_J, gravity_SG } = world.truth
  expect(gravity_SG).toBeCloseTo(1.012, 3)
  const eaten_g = 20 * plant.fermentation!.fermentable_g_per_L
  expect(yeast_J / (1000 * eaten_g * plant.fermentation!.heat_kJ_per_g)).toBeCloseTo(1, 2)
})
