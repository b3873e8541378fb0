import { expect, test } from 'vitest'
import { nominalPlant } from './plant.ts'
import { roomTemperature_C } from './room.ts'
import { ale, bucket, START_s } from './testing/vessels.ts'
import { World } from './world.ts'

test('a cosine of local time: warmest when the vessel file says so, coldest half a day later', () => {
  expect(roomTemperature_C(14, 3, 57_600, 57_600)).toBeCloseTo(17, 12)
  expect(roomTemperature_C(14, 3, 57_600, 57_600 + 43_200)).toBeCloseTo(11, 12)
  expect(roomTemperature_C(14, 3, 57_600, 57_600 + 21_600)).toBeCloseTo(14, 12)
})

test('the room of a world is warmest at 16:00 on the brewer’s clock', () => {
  const vessel = bucket()
  const beer = ale()
  const world = new World({
    vessel,
    beer,
    plant: nominalPlant(vessel, beer),
    faults: [],
    seed: 1,
    start_s: START_s,
  })
  let warmest_C = Number.NEGATIVE_INFINITY
  let at_s = 0
  for (let t_s = START_s; t_s < START_s + 86_400; t_s += 300) {
    world.advanceTo(t_s)
    if (world.truth.room_C > warmest_C) {
      warmest_C = world.truth.room_C
      at_s = t_s
    }
  }
  // Local time is one hour ahead of UTC in the tests.
  expect(Math.abs(((at_s + 3600) % 86_400) - 57_600)).toBeLessThanOrEqual(300)
  expect(warmest_C).toBeCloseTo(17, 3)
})
