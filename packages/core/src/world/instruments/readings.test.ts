import { expect, test } from 'vitest'
import { nominalPlant } from '../plant.ts'
import { ale, channel, fridge, instrument, noisyPlant, START_s } from '../testing/vessels.ts'
import { World } from '../world.ts'

test('readings: bias, drift, noise within 3 sd, rounded to the resolution', () => {
  const vessel = fridge({
    instruments: [
      instrument('Probe', 10, [channel('beer', { noise: 0.05, resolution: 0.01, lag_s: 0 })]),
      instrument('pH meter', 600, [channel('pH', { unit: '1', noise: 0, resolution: 0.01 })]),
      instrument('Wattmeter', 60, [channel('power', { unit: 'W', noise: 0, resolution: 0 })]),
      instrument('Gauge', 60, [channel('pressure', { unit: 'Pa' })]),
    ],
  })
  const beer = ale()
  const nominal = nominalPlant(vessel, beer)
  const channels = nominal.channels.map((one, number) =>
    number === 0 ? { bias: 0.5, drift_per_day: 0.2, noise: 1 } : one,
  )
  const world = new World({
    vessel,
    beer,
    plant: { ...nominal, channels },
    faults: [],
    seed: 3,
    start_s: START_s,
  })
  const errors: number[] = []
  for (let n = 0; n < 3000; n++) {
    world.advanceTo(START_s + 10 * n)
    const { value } = world.readingsAt(world.now_s).find(reading => reading.channel === 0)!
    expect(Math.abs(value * 100 - Math.round(value * 100))).toBeLessThan(1e-9)
    // Without a lag the only difference is the tenth of a second that stands for none.
    errors.push(value - world.truth.beer_C - 0.5 - (0.2 * 10 * n) / 86_400)
  }
  const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length
  const sd = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length)
  expect(Math.max(...errors.map(Math.abs))).toBeLessThan(3 * 0.05 + 0.006)
  expect(Math.abs(mean)).toBeLessThan(0.004)
  expect(Math.abs(sd - 0.05)).toBeLessThan(0.004)

  world.advanceTo(START_s + 1 + 600 * 144 * 10)
  const last = new Map(world.readingsAt(world.now_s).map(reading => [reading.channel, reading.value]))
  expect(last.get(1)).toBeCloseTo(4.3, 1)
  world.advanceTo(world.now_s + 1)
  expect(world.readingsAt(world.now_s)).toEqual([{ channel: 2, value: 0, at_s: world.now_s }])
  // Pressure is not modelled: silent.
  expect(world.skipped().map(reading => reading.channel)).toEqual([0, 1, 2])
})

test('a thermometer lags behind: first order', () => {
  const vessel = fridge({
    instruments: [
      instrument('Quick', 1, [channel('air', { noise: 0, resolution: 0, lag_s: 0 })]),
      instrument('Slow', 1, [channel('air', { noise: 0, resolution: 0, lag_s: 200 })]),
    ],
  })
  const beer = ale()
  const world = new World({
    vessel,
    beer,
    plant: nominalPlant(vessel, beer),
    faults: [],
    seed: 3,
    start_s: START_s,
  })
  world.apply([{ appliance: 'cooler', on: true, until_s: START_s + 9000, fence: 1 }])
  let followed = Number.NaN
  for (let t_s = START_s + 1; t_s < START_s + 4000; t_s++) {
    world.advanceTo(t_s)
    const [quick, slow] = world.readingsAt(t_s)
    // Euler's rule at one second is within 0.5 % of the rate here.
    followed = Number.isNaN(followed) ? slow!.value : followed + (quick!.value - followed) / 200
    expect(Math.abs(slow!.value - followed)).toBeLessThan(0.03)
  }
  expect(world.truth.air_C).toBeLessThan(10)
})

test('foam disturbs the float while it ferments, and only then', () => {
  const vessel = fridge({
    instruments: [
      instrument('Float', 60, [channel('gravity', { noise: 0, resolution: 0, foam: 0.003, lag_s: 0 })]),
    ],
  })
  const beer = ale()
  const world = new World({
    vessel,
    beer,
    plant: noisyPlant(vessel, beer),
    faults: [],
    seed: 3,
    start_s: START_s,
  })
  const spread = (hours: number) => {
    let squares = 0
    for (let n = 0; n < 60; n++) {
      world.advanceTo(START_s + 3600 * hours + 60 * n)
      squares += (world.readingsAt(world.now_s)[0]!.value - world.truth.gravity_SG) ** 2
    }
    return Math.sqrt(squares / 60)
  }
  expect(spread(36)).toBeGreaterThan(0.001)
  expect(spread(500)).toBeLessThan(0.0001)
})
