import { alcoholByWeight_percent, realExtract_P } from '../formulas/alcohol.ts'
import { idealFreezingPoint_C } from '../formulas/freezing-point.ts'
import { platoFromSg } from '../formulas/gravity.ts'
import { AIR, BEER } from './heat/vessel-network.ts'
import type { Physics } from './physics.ts'
import type { WorldSetup } from './setup.ts'

/** What really is, for the judge of a rehearsal and for traces; the engine never sees it. */
export interface Truth {
  readonly beer_C: number
  /** Of the cabinet, or of the room when there is none. */
  readonly air_C: number
  readonly room_C: number
  /** Specific gravity now, and where it will end. */
  readonly gravity_SG: number
  readonly finalGravity_SG: number
  /** Warmest temperature at which ice is to be expected in the beer as it is now (ideal solution). */
  readonly freezes_C: number
  readonly diacetyl_mg_per_L: number
  /** With the precursor that may still become diacetyl. */
  readonly totalDiacetyl_mg_per_L: number
  /** 0 to 1, against the usual peak of this beer. */
  readonly activity: number
  readonly heater: ApplianceTruth
  readonly cooler: ApplianceTruth
  /** Heat into the beer from the yeast, and out to the room, since the start, J. */
  readonly yeast_J: number
  readonly lost_J: number
  /** Heat stored in all nodes against 0 °C, J. */
  readonly stored_J: number
}

export interface ApplianceTruth {
  readonly on: boolean
  readonly starts: number
  readonly onTime_s: number
  /** Shortest pause between two runs, s; Infinity before the second. */
  readonly shortestRest_s: number
  /** Heat that the heater gave, or that the cooler took away, since the start, J. */
  readonly heat_J: number
}

export function truthOf(setup: WorldSetup, physics: Physics, now_s: number): Truth {
  const { fermenter, heater, cooler } = physics
  const room_C = physics.room_C
  const gravity_SG = fermenter.gravityAt(now_s)
  return {
    beer_C: physics.valueAt(BEER, now_s),
    air_C: setup.vessel.heat.cabinet ? physics.valueAt(AIR, now_s) : room_C,
    room_C,
    gravity_SG,
    finalGravity_SG: fermenter.final_SG,
    freezes_C: freezing_C(setup.beer.originalGravity, gravity_SG),
    diacetyl_mg_per_L: fermenter.diacetyl_mg_per_L(),
    totalDiacetyl_mg_per_L: fermenter.totalDiacetyl_mg_per_L(),
    activity: fermenter.activity,
    heater: {
      on: heater.on,
      starts: heater.starts,
      onTime_s: heater.onTime_s(now_s),
      shortestRest_s: heater.shortestRest_s,
      heat_J: physics.heater_J(now_s),
    },
    cooler: {
      on: cooler.on,
      starts: cooler.starts,
      onTime_s: cooler.onTime_s(now_s),
      shortestRest_s: cooler.shortestRest_s,
      heat_J: physics.cooled_J(now_s),
    },
    yeast_J: physics.yeast_J(now_s),
    lost_J: physics.lost_J(now_s),
    stored_J: stored_J(physics, now_s),
  }
}

function stored_J(physics: Physics, now_s: number): number {
  const { capacities_J_per_K } = physics
  let sum = 0
  for (let node = 0; node < capacities_J_per_K.length; node++) {
    sum += capacities_J_per_K[node]! * physics.valueAt(node, now_s)
  }
  return sum
}

function freezing_C(original_SG: number, gravity_SG: number): number {
  const original_P = Math.max(0, platoFromSg(original_SG))
  const real_P = Math.max(0, realExtract_P(original_P, platoFromSg(gravity_SG)))
  return idealFreezingPoint_C(Math.max(0, alcoholByWeight_percent(original_P, real_P)), real_P)
}
