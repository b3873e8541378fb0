import type { Place } from '../place.ts'
import type { LocalDateTime } from '../plan/plan.ts'
import type { Uncertain } from '../vessel/vessel.ts'

/** What is in the vessel, and who looks after it. */
export interface Beer {
  readonly name: string
  /** Left out: the vessel's usual amount. */
  readonly volume_L?: number
  /** Specific gravity 20/20 °C. 1 for water. */
  readonly originalGravity: number
  /** How well the brewer says it is known, one standard deviation. Left out: nothing is said. */
  readonly originalGravitySd_SG?: number
  /**
   * Whose word the original gravity is in the end: what stands here or is entered by hand (usual), or what the float reads
   * once it is demonstrably in the wort.
   */
  readonly originalGravityFrom?: 'hand' | 'float'
  /** Expected final gravity, specific gravity. The sd is how well it is known. */
  readonly finalGravity: Uncertain
  /** Temperature of the wort when the batch starts. */
  readonly startsAt_C: Uncertain
  readonly start: LocalDateTime
  /** Without yeast nothing ferments: water, or a mash. */
  readonly yeast?: Yeast
  readonly brewer: BrewerHabits
  readonly place: Place
}

export type YeastClass = 'ale' | 'lager' | 'wheat' | 'saison' | 'kveik'

export interface Yeast {
  readonly name: string
  /** Start values of the kinetics come from the class; everything below scales or overrides them. */
  readonly class: YeastClass
  /** Temperatures at which it is known to work well. */
  readonly comfort_C: { readonly lowest: number; readonly highest: number }
  /** Apparent attenuation that the yeast is known to reach, shares of 1. */
  readonly attenuation: { readonly lowest: number; readonly highest: number }
  /** Million cells per mL and °P. */
  readonly pitch: number
  /** Factor on the speed of fermentation, against its class. */
  readonly vigour: Uncertain
  readonly place: Place
}

/** The brewer is part of the world: a question is answered when they are awake, at home, and have seen it. */
export interface BrewerHabits {
  /** Median time to an answer while awake and at home, s. */
  readonly answersWithin_s: number
  /** Local times of day, s after midnight. Equal: never asleep. */
  readonly asleepFrom_s: number
  readonly asleepTo_s: number
  readonly awayAtWeekends: boolean
}
