import { expect, test } from 'vitest'
import { readVessel } from '../vessel/read-vessel.ts'
import { heatFlow, rate_K_per_s, travelTime_s } from './heat-flow.ts'
import { change, VESSEL } from './testing/cases.ts'

const vesselOf = (text: string) => readVessel(text, 'vessel').vessel!
const series = (...conductances: readonly number[]) => 1 / conductances.reduce((sum, g) => sum + 1 / g, 0)

test('with nothing on, the beer comes to rest at the temperature of the room', () => {
  expect(heatFlow(vesselOf(VESSEL), 20, 'nothing').rest_C).toBeCloseTo(16, 9)
})

test('resistances in series, by hand: beer - wall - air - room', () => {
  // Without appliances: 15, 5 and 1.5 W/K in series, 4 K below the room.
  const bare = vesselOf(VESSEL.replace(/heater:[\s\S]*?instruments:/, 'instruments:'))
  expect(heatFlow(bare, 20, 'nothing').flow_W(12)).toBeCloseTo(4 * series(15, 5, 1.5), 9)
})

test('a refrigerator by hand: one node of air between the beer, the evaporator and the room', () => {
  const cold = vesselOf(VESSEL.replace(/heater:[\s\S]*?cooler:/, 'cooler:'))
  // 120 W at 20 °C and nothing at -20 °C: 3 W/K to -20 °C, behind 8 W/K to the air.
  const toBeer = series(15, 5)
  const toCold = series(8, 120 / 40)
  const air_C = (toBeer * 4 + toCold * -20 + 1.5 * 16) / (toBeer + toCold + 1.5)
  expect(heatFlow(cold, 20, 'cooler').flow_W(4)).toBeCloseTo(toBeer * (air_C - 4), 9)
  const rest_C = (toCold * -20 + 1.5 * 16) / (toCold + 1.5)
  expect(heatFlow(cold, 20, 'cooler').rest_C).toBeCloseTo(rest_C, 9)
})

test('all the heat of a heater inside a vessel without losses reaches the beer', () => {
  const tight = vesselOf(
    change(VESSEL, ['air to room: 1.5 W/°C', 'air to room: 0.000001 W/°C']).replace(
      /cooler:[\s\S]*?instruments:/,
      'instruments:',
    ),
  )
  expect(heatFlow(tight, 20, 'heater').flow_W(16)).toBeCloseTo(40, 3)
})

test('without a cabinet the wall loses its heat to the room', () => {
  const bucket = vesselOf(
    VESSEL.replace(/ {2}air stores.*\n {2}air to room.*\n/, '')
      .replace('wall to air', 'wall to room')
      .replace(/heater:[\s\S]*?instruments:/, 'instruments:'),
  )
  expect(bucket.heat.cabinet).toBe(false)
  expect(heatFlow(bucket, 20, 'nothing').flow_W(12)).toBeCloseTo(4 * series(15, 5), 4)
})

test('the time at full power agrees with adding up small steps', () => {
  const flow = heatFlow(vesselOf(VESSEL), 20, 'cooler')
  let beer_C = 20
  let time_s = 0
  while (beer_C > 4) {
    beer_C += rate_K_per_s(flow, beer_C) * 10
    time_s += 10
  }
  expect(travelTime_s(flow, 20, 4) / time_s).toBeCloseTo(1, 3)
})

test('a temperature behind the one at which the beer comes to rest is never reached', () => {
  const flow = heatFlow(vesselOf(VESSEL), 20, 'nothing')
  expect(travelTime_s(flow, 20, 15)).toBe(Number.POSITIVE_INFINITY)
  expect(travelTime_s(flow, 18, 20)).toBe(Number.POSITIVE_INFINITY)
  expect(travelTime_s(flow, 20, 17)).toBeGreaterThan(0)
})
