import { expect, test } from 'vitest'
import type { Command } from '../../engine/contract.ts'
import { ale, bucket, fridge, noisyPlant, START_s } from '../testing/vessels.ts'
import { World } from '../world.ts'
import type { Fault } from './fault.ts'

const HOUR_s = 3600

function world(faults: Fault[], vessel = fridge(), beer = ale()): World {
  return new World({ vessel, beer, plant: noisyPlant(vessel, beer), faults, seed: 1, start_s: START_s })
}

function command(appliance: 'heater' | 'cooler', on: boolean, until_s: number, fence = 1): Command {
  return { appliance, on, until_s: START_s + until_s, fence }
}

function at(hours: number, to = Number.POSITIVE_INFINITY) {
  return { from_s: START_s + hours * HOUR_s, to_s: START_s + to * HOUR_s }
}

/** Mean of the readings of one channel over a minute from now. */
function reads(one: World, channel: number): number {
  const values: number[] = []
  for (let n = 0; n < 60; n++) {
    for (const reading of one.readingsAt(one.now_s))
      if (reading.channel === channel) values.push(reading.value)
    one.advanceTo(one.now_s + 1)
  }
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

test('a lease lapses by itself', () => {
  const one = world([])
  one.apply([command('heater', true, 1000)])
  one.advanceTo(START_s + 999)
  expect(one.truth.heater.on).toBe(true)
  one.advanceTo(START_s + 1000)
  expect(one.truth.heater.on).toBe(false)
  expect(one.truth.heater.heat_J).toBeCloseTo(30 * 1000, 6)
})

test('welded, dead, cut off', () => {
  const welded = world([{ kind: 'heater welded', ...at(1) }])
  welded.advanceTo(START_s + 2 * HOUR_s)
  welded.apply([command('heater', false, 9000)])
  expect(welded.truth.heater.on).toBe(true)

  const dead = world([{ kind: 'cooler dead', ...at(0) }])
  dead.apply([command('cooler', true, 9000)])
  expect(dead.truth.cooler.on).toBe(false)

  const cut = world([{ kind: 'network cut', ...at(1, 2) }])
  cut.apply([command('heater', true, 9000)])
  cut.advanceTo(START_s + 1.5 * HOUR_s)
  cut.apply([command('heater', false, 9000, 2)])
  expect(cut.truth.heater.on).toBe(true)
  cut.advanceTo(START_s + 3 * HOUR_s)
  expect(cut.truth.heater.on).toBe(false)
})

test('a power cut switches off, silences, and takes the controller down', () => {
  const one = world([{ kind: 'power cut', ...at(1, 2) }])
  one.apply([command('cooler', true, 30_000)])
  one.advanceTo(START_s + HOUR_s)
  expect(one.truth.cooler.on).toBe(false)
  expect(one.controllerDown).toBe(true)
  const silence = { until_s: Number.POSITIVE_INFINITY, lower: [], upper: [], silence_s: [] }
  expect(one.seek(silence, START_s + 5 * HOUR_s)).toBe(START_s + 2 * HOUR_s)
  expect(one.controllerDown).toBe(false)
  expect(one.skipped()).toEqual([])
  expect(one.truth.cooler.on).toBe(false)
  expect(one.readingsAt(one.now_s).length).toBeGreaterThan(0)
})

test('a stuck channel repeats itself, a displaced probe reads the air', () => {
  const stuck = world([{ kind: 'channel stuck', channel: 0, ...at(1) }])
  stuck.advanceTo(START_s + HOUR_s)
  const before = stuck.readingsAt(stuck.now_s).find(reading => reading.channel === 0)!.value
  stuck.apply([command('cooler', true, 90_000)])
  stuck.advanceTo(START_s + 20 * HOUR_s)
  expect(stuck.truth.beer_C).toBeLessThan(before - 2)
  expect(reads(stuck, 0)).toBe(before)

  const displaced = world([{ kind: 'thermometer displaced', instrument: 'Probe', into: 'air', ...at(1) }])
  displaced.apply([command('cooler', true, 90_000)])
  displaced.advanceTo(START_s + 5 * HOUR_s)
  const { air_C, beer_C } = displaced.truth
  expect(beer_C - air_C).toBeGreaterThan(3)
  expect(Math.abs(reads(displaced, 0) - air_C)).toBeLessThan(0.2)
})

test('a float that is not yet in the wort reads water and the room', () => {
  const one = world([{ kind: 'float not in wort', instrument: 'Float', ...at(0, 12) }])
  one.advanceTo(START_s + 2 + 1800 * 20)
  const [gravity, warmth] = one.readingsAt(one.now_s).filter(({ channel }) => channel === 2 || channel === 3)
  expect(Math.abs(gravity!.value - 1)).toBeLessThan(0.0023)
  expect(Math.abs(warmth!.value - one.truth.room_C)).toBeLessThan(0.8)
  one.advanceTo(START_s + 2 + 1800 * 40)
  expect(one.readingsAt(one.now_s).find(({ channel }) => channel === 2)!.value).toBeGreaterThan(1.02)
})

test('heat wave, open door', () => {
  const usual = world([], bucket())
  const wave = world([{ kind: 'room warmer', by_K: 10, ...at(0) }], bucket())
  for (const one of [usual, wave]) one.advanceTo(START_s + 200 * HOUR_s)
  expect(wave.truth.room_C - usual.truth.room_C).toBeCloseTo(10, 9)
  expect(wave.truth.beer_C - usual.truth.beer_C).toBeGreaterThan(7)

  const closed = world([])
  const open = world([{ kind: 'door open', factor: 30, ...at(5) }])
  for (const one of [closed, open]) {
    one.apply([command('cooler', true, 90_000)])
    one.advanceTo(START_s + 10 * HOUR_s)
  }
  expect(open.truth.air_C - closed.truth.air_C).toBeGreaterThan(3)
})

test('fermentation: stuck at a share, fast, another end', () => {
  const hours = 400
  const usual = world([])
  const stuck = world([{ kind: 'fermentation stuck', atShare: 0.4, ...at(0) }])
  const fast = world([{ kind: 'fermentation speed', factor: 2, ...at(0) }])
  const other = world([{ kind: 'final gravity', offset_SG: 0.004, ...at(0) }])
  const halfway = START_s + 30 * HOUR_s
  for (const one of [usual, fast]) one.advanceTo(halfway)
  expect(fast.truth.gravity_SG).toBeLessThan(usual.truth.gravity_SG - 0.003)
  for (const one of [usual, stuck, other]) one.advanceTo(START_s + hours * HOUR_s)
  expect(usual.truth.gravity_SG).toBeCloseTo(1.012, 3)
  // 40 % of the fermentable extract is left: 40 % of the way from 1.012 back to 1.050.
  expect(stuck.truth.gravity_SG).toBeGreaterThan(1.026)
  expect(other.truth.finalGravity_SG).toBeCloseTo(1.016, 6)
  expect(other.truth.gravity_SG).toBeCloseTo(1.016, 3)
})

test('a reading that was taken before the channel got stuck stays what it was', () => {
  const stuckFrom_s = START_s + 3 * 60 + 30
  const vessel = bucket()
  const room = vessel.instruments[1]!
  const noisy = {
    ...vessel,
    instruments: [vessel.instruments[0]!, { ...room, channels: [{ ...room.channels[0]!, noise: 1 }] }],
  }
  const stuck: Fault = { kind: 'channel stuck', channel: 1, from_s: stuckFrom_s, to_s: stuckFrom_s + 900 }
  const one = world([stuck], noisy)
  // Instrument 1 of the nominal plant reports at 1, 61, 121, 181 s.
  one.advanceTo(START_s + 181)
  const taken = one.readingsAt(one.now_s)[0]!
  one.advanceTo(stuckFrom_s + 5)
  expect(one.skipped().find(({ channel }) => channel === 1)).toEqual(taken)
  one.advanceTo(START_s + 241)
  const [repeated] = one.readingsAt(one.now_s)
  expect(repeated!.value).not.toBe(taken.value)
  one.advanceTo(START_s + 301)
  expect(one.readingsAt(one.now_s)[0]!.value).toBe(repeated!.value)
})
