import type { Beer } from '../../beer/beer.ts'
import type { Place } from '../../place.ts'
import type { Channel, Instrument, Vessel } from '../../vessel/vessel.ts'
import { nominalPlant, type Plant } from '../plant.ts'

/** Vessels and beers for the tests of the world, made without the parsers. */
const place: Place = { line: 1, column: 1, offset: 0, length: 1 }
const exactly = (value: number) => ({ value, sd: 0 })

/** 2026-12-04T18:00 local time, one hour ahead of UTC. */
export const START_s = Date.UTC(2026, 11, 4, 17) / 1000

export function channel(quantity: string, given: Partial<Channel> = {}): Channel {
  return {
    quantity,
    unit: quantity === 'gravity' ? 'SG' : '°C',
    sits: quantity === 'air' ? 'air' : 'beer',
    noise: 0.03,
    resolution: 0.0625,
    bias: { value: 0, sd: 0.2 },
    drift_per_day: 0.002,
    lag_s: 60,
    foam: 0,
    lowest: -1000,
    highest: 1000,
    step: 1000,
    place,
    ...given,
  }
}

export function instrument(
  name: string,
  every_s: number,
  channels: readonly Channel[],
  given: Partial<Instrument> = {},
): Instrument {
  return {
    name,
    every_s,
    byHand: false,
    outages: { perDay: 0, length_s: 0 },
    channels,
    place,
    places: { every: place },
    ...given,
  }
}

const appliance = { restsAtLeast_s: 300, runsAtLeast_s: 180, lostCommands: 0, place }

/** A bucket in a refrigerator with a heating belt. */
export function fridge(given: Partial<Vessel> = {}): Vessel {
  return {
    name: 'Garage fridge',
    volume_L: { value: 20, sd: 1 },
    heat: {
      cabinet: true,
      beerToWall_W_per_K: { value: 12, sd: 2.4 },
      wall_J_per_K: { value: 3000, sd: 600 },
      wallToAir_W_per_K: { value: 4, sd: 0.8 },
      air_J_per_K: { value: 9000, sd: 2700 },
      airToRoom_W_per_K: { value: 1.6, sd: 0.24 },
    },
    room: { mean_C: { value: 14, sd: 3 }, swing_K: { value: 3, sd: 1 }, warmestAt_s: 57_600 },
    heater: {
      ...appliance,
      power_W: { value: 30, sd: 1.5 },
      element_J_per_K: exactly(400),
      toBeer_W_per_K: 0,
      toWall_W_per_K: 3,
      toAir_W_per_K: 0.5,
    },
    cooler: {
      ...appliance,
      power_W: { value: 90, sd: 13 },
      coldest_C: -18,
      evaporator_J_per_K: exactly(4000),
      toAir_W_per_K: 6,
      toBeer_W_per_K: 0,
    },
    instruments: [
      instrument('Probe', 1, [channel('beer')]),
      instrument('Air probe', 5, [channel('air', { lag_s: 20 })]),
      instrument(
        'Float',
        1800,
        [
          channel('gravity', {
            noise: 0.0007,
            resolution: 0.0001,
            bias: { value: 0, sd: 0.0015 },
            drift_per_day: 0.00002,
            lag_s: 0,
            foam: 0.003,
          }),
          channel('beer', { noise: 0.1, resolution: 0.1, lag_s: 600 }),
        ],
        { outages: { perDay: 0.2, length_s: 7200 } },
      ),
      instrument('Hydrometer', 43_200, [channel('gravity', { noise: 0.0005, resolution: 0.001, lag_s: 0 })], {
        byHand: true,
      }),
    ],
    trust: {
      beer: ['Probe', 'Float'],
      air: ['Air probe'],
      gravity: ['Float', 'Hydrometer'],
      'forecast final gravity': [],
    },
    control: {
      method: 'on-off',
      heatStart_K: 0.3,
      heatStop_K: 0,
      coolStart_K: 0.3,
      coolStop_K: 0,
      gain_per_K: 1,
      integral_s: 0,
      derivative_s: 0,
      window_s: 600,
      cascadeGain: 1,
      airLowest_C: 0,
      airHighest_C: 30,
      reached_K: 0.3,
    },
    interlocks: {
      changeover_s: 600,
      lease_s: 900,
      heaterResponse_s: 0,
      coolerResponse_s: 0,
      response_K: 0.5,
      disagree_K: 1,
      disagree_SG: 0.004,
    },
    place,
    ...given,
  }
}

/** A bucket in a room, warmed by a pad beneath it. */
export function bucket(given: Partial<Vessel> = {}): Vessel {
  const { cooler: _, ...whole } = fridge()
  return {
    ...whole,
    name: 'Bucket',
    heat: { ...whole.heat, cabinet: false, air_J_per_K: exactly(0) },
    instruments: [
      instrument('Probe', 10, [channel('beer')]),
      instrument('Room', 60, [channel('air', { sits: 'room' })]),
    ],
    trust: { beer: ['Probe'], air: ['Room'], gravity: [], 'forecast final gravity': [] },
    ...given,
  }
}

/** An electric mash kettle: 25 L, 3 kW. */
export function kettle(): Vessel {
  const whole = bucket()
  return {
    ...whole,
    name: 'Mash kettle',
    volume_L: exactly(25),
    heater: {
      ...whole.heater!,
      power_W: exactly(3000),
      element_J_per_K: exactly(1500),
      toBeer_W_per_K: 150,
      toWall_W_per_K: 0,
    },
    instruments: [instrument('Probe', 1, [channel('beer', { lag_s: 10 })]), whole.instruments[1]!],
  }
}

/** Water or wort without yeast. */
export function mash(startsAt_C: number): Beer {
  const { yeast: _, ...whole } = ale()
  return { ...whole, name: 'Mash', startsAt_C: exactly(startsAt_C) }
}

export function ale(given: Partial<Beer> = {}): Beer {
  return {
    name: 'Amber ale',
    originalGravity: 1.05,
    finalGravity: { value: 1.012, sd: 0.0015 },
    startsAt_C: { value: 18, sd: 1 },
    start: { text: '2026-12-04T18:00', local_s: START_s + 3600 },
    yeast: {
      name: 'House ale yeast',
      class: 'ale',
      comfort_C: { lowest: 17, highest: 22 },
      attenuation: { lowest: 0.7, highest: 0.8 },
      pitch: 0.75,
      vigour: { value: 1, sd: 0.2 },
      place,
    },
    brewer: { answersWithin_s: 10_800, asleepFrom_s: 82_800, asleepTo_s: 25_200, awayAtWeekends: false },
    place,
    ...given,
  }
}

/** The plant as expected, but with instruments that are as noisy as the vessel file says. */
export function noisyPlant(vessel: Vessel, beer: Beer): Plant {
  const nominal = nominalPlant(vessel, beer)
  return { ...nominal, channels: nominal.channels.map(one => ({ ...one, noise: 1 })) }
}
