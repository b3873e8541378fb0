import { expect, test } from 'vitest'
import { nominalPlant } from '../plant.ts'
import { fridge, mash, START_s } from '../testing/vessels.ts'
import { World } from '../world.ts'

const DAY_s = 86_400

/** A refrigerator in a room of 14 °C without a daily swing, with water in it. */
function steady(startsAt_C: number, faults: ConstructorParameters<typeof World>[0]['faults'] = []): World {
  const usual = fridge()
  const vessel = { ...usual, room: { ...usual.room, swing_K: { value: 0, sd: 0 } } }
  const beer = mash(startsAt_C)
  return new World({ vessel, beer, plant: nominalPlant(vessel, beer), faults, seed: 1, start_s: START_s })
}

test('with everything off the beer ends as warm as the room', () => {
  const world = steady(25)
  world.advanceTo(START_s + 60 * DAY_s)
  expect(world.truth.beer_C).toBeCloseTo(14, 6)
})

test('the cooler running for ever: the steady state of its chain of conductances', () => {
  const world = steady(14, [{ kind: 'cooler welded', from_s: START_s, to_s: Number.POSITIVE_INFINITY }])
  world.advanceTo(START_s + 60 * DAY_s)
  // Room 14 °C - 1.6 W/K - air - 6 W/K - evaporator - 90 W / (20 + 18) K - coldest -18 °C; no heat flows in the beer.
  const flow_W = (14 + 18) / (1 / 1.6 + 1 / 6 + 38 / 90)
  const air_C = 14 - flow_W / 1.6
  expect(world.truth.air_C).toBeCloseTo(air_C, 6)
  expect(world.truth.beer_C).toBeCloseTo(air_C, 6)
  const before_J = world.truth.cooler.heat_J
  world.advanceTo(START_s + 61 * DAY_s)
  expect((world.truth.cooler.heat_J - before_J) / DAY_s).toBeCloseTo(flow_W, 5)
})

test('the heater on for ever: rise = power / conductance to the room', () => {
  const world = steady(14, [{ kind: 'heater welded', from_s: START_s, to_s: Number.POSITIVE_INFINITY }])
  world.advanceTo(START_s + 60 * DAY_s)
  expect(world.truth.air_C).toBeCloseTo(14 + 30 / 1.6, 6)
  // The wall takes its share of the element's heat and passes it to the air: 30 W through 3 + 0.5 W/K and 4 W/K.
  const wall = (world.truth.beer_C - world.truth.air_C) * 4
  const element_C = world.truth.beer_C + wall / 3
  expect(wall + 0.5 * (element_C - world.truth.air_C)).toBeCloseTo(30, 5)
})

test('a refrigerator goes on cooling after it is switched off', () => {
  const world = steady(14)
  world.apply([{ appliance: 'cooler', on: true, until_s: START_s + 1200, fence: 1 }])
  world.advanceTo(START_s + 1200)
  const { air_C, cooler } = world.truth
  expect(cooler.on).toBe(false)
  world.advanceTo(START_s + 1260)
  expect(world.truth.air_C).toBeLessThan(air_C - 0.05)
  expect(world.truth.cooler.heat_J).toBe(cooler.heat_J)
})
