import type { Beer } from '../../beer/beer.ts'
import type { Place } from '../../place.ts'
import type { Condition, ControlSettings, Plan, Stage } from '../../plan/plan.ts'
import type { Channel, Instrument, Vessel } from '../../vessel/vessel.ts'

/** A small vessel, beer and plan for the engine's tests; every part can be replaced. Invented data. */
export const PLACE: Place = { line: 1, column: 1, offset: 0, length: 1 }

export const ON_OFF: ControlSettings = {
  method: 'on-off',
  heatStart_K: 0.3,
  heatStop_K: 0,
  coolStart_K: 0.3,
  coolStop_K: 0,
  gain_per_K: 0.3,
  integral_s: 2400,
  derivative_s: 0,
  window_s: 600,
  cascadeGain: 4,
  airLowest_C: -2,
  airHighest_C: 30,
  reached_K: 0.5,
}

const exactly = (value: number) => ({ value, sd: 0 })

export function channel(part: Partial<Channel> & { quantity: string }): Channel {
  const isGravity = part.quantity === 'gravity'
  return {
    unit: isGravity ? 'SG' : '°C',
    sits: part.quantity === 'air' ? 'air' : 'beer',
    noise: 0,
    resolution: 0,
    bias: exactly(0),
    drift_per_day: 0,
    lag_s: 0,
    foam: 0,
    lowest: isGravity ? 0.98 : -20,
    highest: isGravity ? 1.2 : 120,
    step: isGravity ? 0.02 : 5,
    place: PLACE,
    ...part,
  }
}

export function instrument(name: string, every_s: number, channels: readonly Channel[]): Instrument {
  return {
    name,
    every_s,
    byHand: false,
    outages: { perDay: 0, length_s: 0 },
    channels,
    place: PLACE,
    places: { every: PLACE },
  }
}

const APPLIANCE = { runsAtLeast_s: 0, restsAtLeast_s: 0, lostCommands: 0, place: PLACE }

export function smallVessel(part: Partial<Vessel> = {}): Vessel {
  return {
    name: 'Test fridge',
    volume_L: exactly(20),
    heat: {
      cabinet: true,
      beerToWall_W_per_K: exactly(12),
      wall_J_per_K: exactly(3000),
      wallToAir_W_per_K: exactly(4),
      air_J_per_K: exactly(9000),
      airToRoom_W_per_K: exactly(1.6),
    },
    room: { mean_C: exactly(14), swing_K: exactly(3), warmestAt_s: 16 * 3600 },
    heater: {
      ...APPLIANCE,
      power_W: exactly(30),
      element_J_per_K: exactly(400),
      toBeer_W_per_K: 0,
      toWall_W_per_K: 3,
      toAir_W_per_K: 0.5,
    },
    cooler: {
      ...APPLIANCE,
      power_W: exactly(90),
      coldest_C: -18,
      evaporator_J_per_K: exactly(4000),
      toAir_W_per_K: 6,
      toBeer_W_per_K: 0,
      restsAtLeast_s: 300,
      runsAtLeast_s: 180,
    },
    instruments: [
      instrument('Probe', 10, [channel({ quantity: 'beer' })]),
      instrument('Float', 1800, [channel({ quantity: 'gravity' }), channel({ quantity: 'beer' })]),
    ],
    trust: {},
    control: ON_OFF,
    interlocks: {
      changeover_s: 600,
      lease_s: 900,
      heaterResponse_s: 3 * 3600,
      coolerResponse_s: 3 * 3600,
      response_K: 0.3,
      disagree_K: 2,
      disagree_SG: 0.006,
    },
    place: PLACE,
    ...part,
  }
}

export function smallBeer(part: Partial<Beer> = {}): Beer {
  return {
    name: 'Test ale',
    originalGravity: 1.05,
    finalGravity: { value: 1.012, sd: 0.0015 },
    startsAt_C: exactly(18),
    start: { text: '2026-12-04T18:00', local_s: 1_796_407_200 },
    yeast: {
      name: 'Test yeast',
      class: 'ale',
      comfort_C: { lowest: 17, highest: 22 },
      attenuation: { lowest: 0.7, highest: 0.8 },
      pitch: 0.75,
      vigour: exactly(1),
      place: PLACE,
    },
    brewer: {
      answersWithin_s: 3 * 3600,
      asleepFrom_s: 23 * 3600,
      asleepTo_s: 7 * 3600,
      awayAtWeekends: false,
    },
    place: PLACE,
    ...part,
  }
}

export function stage(part: Partial<Stage> & { name: string }): Stage {
  return {
    course: { kind: 'hold', target_C: 18 },
    next: { kind: 'following' },
    askFirst: false,
    ifLate: { kind: 'ask' },
    branches: [],
    tasks: [],
    control: {},
    place: PLACE,
    places: { course: PLACE, name: PLACE },
    ...part,
  }
}

export function smallPlan(stages: readonly Stage[], part: Partial<Plan> = {}): Plan {
  return {
    name: 'Test plan',
    side: 'fermentation',
    limits: { lowest_C: 0, highest_C: 24, ifBroken: 'alarm', place: PLACE },
    control: {},
    stages,
    place: PLACE,
    ...part,
  }
}

type Bare<T> = T extends unknown ? Omit<T, 'lasting_s' | 'place'> : never

export function when(node: Bare<Condition>, lasting_s = 0): Condition {
  return { ...node, lasting_s, place: PLACE } as Condition
}

export const gravityAtMost = (value: number, lasting_s = 0) =>
  when(
    { kind: 'compare', quantity: 'gravity', relation: 'at most', against: { kind: 'value', value } },
    lasting_s,
  )

export const stageLasted = (atLeast_s: number) => when({ kind: 'elapsed', since: 'stage', atLeast_s })
