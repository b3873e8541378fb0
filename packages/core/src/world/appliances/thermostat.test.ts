import { describe, expect, it } from 'vitest'
import type { TargetCommand } from '../../engine/contract.ts'
import { PLACE, smallBeer, smallVessel } from '../../engine/testing/small-house.ts'
import type { Thermostat } from '../../vessel/vessel.ts'
import type { Fault } from '../faults/fault.ts'
import { nominalPlant } from '../plant.ts'
import { World } from '../world.ts'

const { yeast: _, ...wort } = smallBeer()
const START_S = wort.start.local_s
const HOUR_S = 3600

const DEVICE: Thermostat = {
  follows: 'beer',
  hysteresis_K: 0.5,
  lowest_C: 2,
  highest_C: 30,
  resolution_K: 0.1,
  whenUnheard: 'off',
  bias: { value: 0, sd: 0 },
  lag_s: 60,
  lostCommands: 0,
  place: PLACE,
}

/** A fridge in a steady room, with nothing that ferments in it. */
function worldWith(device: Partial<Thermostat>, room_C: number, faults: readonly Fault[] = []): World {
  const vessel = smallVessel({
    thermostat: { ...DEVICE, ...device },
    room: { mean_C: { value: room_C, sd: 0 }, swing_K: { value: 0, sd: 0 }, warmestAt_s: 0 },
  })
  return new World({
    vessel,
    beer: wort,
    plant: nominalPlant(vessel, wort),
    faults,
    seed: 1,
    start_s: START_S,
  })
}

let fence = 0
const told = (target_C: number | null, world: World, lasts_s = 1000 * HOUR_S): TargetCommand => ({
  appliance: 'thermostat',
  target_C,
  until_s: world.now_s + lasts_s,
  fence: ++fence,
})

/** The beer's temperature every minute. */
function live(world: World, hours: number): number[] {
  const end_s = world.now_s + hours * HOUR_S
  const beer_C: number[] = []
  while (world.now_s < end_s) {
    world.advanceTo(world.now_s + 60)
    beer_C.push(world.truth.beer_C)
  }
  return beer_C
}

describe('a thermostat', () => {
  it('is off until it is told a target, and then keeps the beer about its hysteresis from it', () => {
    const world = worldWith({}, 10)
    live(world, 2)
    expect(world.truth.heater.starts + world.truth.cooler.starts).toBe(0)
    world.apply([told(20, world)])
    live(world, 48)
    const kept = live(world, 48)
    expect(Math.max(...kept)).toBeLessThan(20.4)
    expect(Math.min(...kept)).toBeGreaterThan(19.4)
    expect(world.truth.heater.starts).toBeGreaterThan(2)
    expect(world.truth.cooler.starts).toBe(0)
  })

  it('starts at its hysteresis and stops at its target, to the second', () => {
    const world = worldWith({ lag_s: 0 }, 10)
    world.apply([told(18, world)])
    const switched: [on: boolean, beer_C: number][] = []
    let was = false
    for (let n = 0; n < 40 * HOUR_S && switched.length < 4; n++) {
      world.advanceTo(world.now_s + 1)
      const { on } = world.truth.heater
      if (on !== was) switched.push([on, world.truth.beer_C])
      was = on
    }
    expect(switched.map(([on]) => on)).toEqual([true, false, true, false])
    for (const [on, beer_C] of switched) expect(beer_C).toBeCloseTo(on ? 17.5 : 18, 2)
  })

  it('keeps the air when it follows that, and lets the compressor rest', () => {
    const world = worldWith({ follows: 'air' }, 25)
    world.apply([told(12, world)])
    live(world, 60)
    const { air_C, cooler } = world.truth
    expect(air_C).toBeGreaterThan(7)
    expect(air_C).toBeLessThan(14)
    expect(cooler.starts).toBeGreaterThan(10)
    expect(cooler.shortestRest_s).toBeGreaterThanOrEqual(300)
  })

  it('goes off when its command lapses, or keeps its target, as the vessel says', () => {
    for (const [whenUnheard, warmest_C] of [
      ['off', 16],
      ['keeps its target', 18.5],
    ] as const) {
      const world = worldWith({ whenUnheard }, 5)
      world.apply([told(18, world, HOUR_S)])
      const last_C = live(world, 72).at(-1)!
      if (whenUnheard === 'off') expect(last_C).toBeLessThan(warmest_C)
      else expect(last_C).toBeGreaterThan(17.3)
    }
  })

  it('takes no older command, and nothing outside of its range', () => {
    const world = worldWith({ highest_C: 19 }, 5)
    const older = told(null, world)
    world.apply([told(40, world)])
    world.apply([older])
    const kept = live(world, 72)
    expect(kept.at(-1)).toBeGreaterThan(18.3)
    expect(Math.max(...kept)).toBeLessThan(19.4)
  })

  it('goes by its own thermometer, wherever that hangs', () => {
    const faults: Fault[] = [
      {
        kind: 'thermostat displaced',
        into: 'room',
        from_s: START_S,
        to_s: Number.POSITIVE_INFINITY,
      },
    ]
    const world = worldWith({}, 10, faults)
    world.apply([told(18, world)])
    // The room never gets warmer, so it heats without end.
    expect(live(world, 72).at(-1)).toBeGreaterThan(22)
  })

  it('has nothing on without power, and starts again by what it remembers', () => {
    const cut = { from_s: START_S + 10 * HOUR_S, to_s: START_S + 12 * HOUR_S }
    for (const [whenUnheard, starts] of [
      ['off', false],
      ['keeps its target', true],
    ] as const) {
      const world = worldWith({ whenUnheard }, 5, [{ kind: 'power cut', ...cut }])
      world.apply([told(18, world)])
      world.advanceTo(cut.from_s + 1)
      expect(world.truth.heater.on).toBe(false)
      const before = world.truth.heater.starts
      world.advanceTo(cut.to_s + 6 * HOUR_S)
      expect(world.truth.heater.starts > before).toBe(starts)
    }
  })
})
