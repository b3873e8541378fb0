import type { ControlSettings, Course, LateResponse, QuantityName } from '../plan/plan.ts'
import type { FloatBounds } from '../readiness/float-bounds.ts'
import type { Reach } from '../vessel/reach.ts'
import type { Interlocks } from '../vessel/vessel.ts'

/**
 * A plan made ready for one vessel and one beer: names have become numbers, differences to the final gravity have become
 * gravities where they can, and each condition that remembers something has a place for it. Plain data, made by
 * `compile`; the engine reads nothing else.
 */
export interface Program {
  readonly plan: string
  readonly side: 'fermentation' | 'hot side'
  /** By channel number of the vessel. */
  readonly channels: readonly ProgramChannel[]
  /** By channel number: whether a history of its readings is kept. */
  readonly remembers: readonly boolean[]
  readonly quantities: readonly ProgramQuantity[]
  /** Index into `quantities`; -1: nothing measures it. */
  readonly beer: number
  readonly air: number
  readonly gravity: number
  readonly stages: readonly ProgramStage[]
  /** How many places for dwells there are. */
  readonly dwells: number
  readonly lowest_C: number
  readonly highest_C: number
  readonly ifBroken: 'alarm' | 'hold' | 'switch off'
  /** null: there is none that the engine switches. */
  readonly heater: ProgramAppliance | null
  readonly cooler: ProgramAppliance | null
  /** With a thermostat, `heater` and `cooler` are null: it switches them itself. */
  readonly thermostat: ProgramThermostat | null
  readonly interlocks: Interlocks
  readonly originalGravity: number
  /** How well it is known, as far as the beer file says, one standard deviation; 0: it is taken at its word. */
  readonly originalGravitySd_SG: number
  readonly finalGravity: number
  /** The original gravity is taken from this float, once it is demonstrably in the wort; null: from no float. */
  readonly float: FloatBounds | null
  /** Local time = UTC + this. */
  readonly localOffset_s: number
}

export interface ProgramChannel {
  readonly instrument: string
  readonly quantity: number
  readonly lowest: number
  readonly highest: number
  readonly step: number
  /**
   * How many good readings in a row it takes to be believed at first: two, of which one supports the other; one by hand, or when
   * the next would come after more than an hour.
   */
  readonly firstNeeds: number
  /** What lies beyond must prove more. */
  readonly reach: Reach
  /** No faster than this moves what it measures, per second; Infinity: nobody knows. */
  readonly fastest_per_s: number
  readonly silence_s: number
  /** How long it may stand still (stillness.ts). null: for ever. */
  readonly still: {
    /** The smallest step of its display. */
    readonly step_K: number
    /** Fine enough to be followed reading by reading. */
    readonly isWatched: boolean
    /** Times are longer by this with a coarse display. */
    readonly scale: number
  } | null
  /** The value used is the median of this many latest readings; 1: the reading itself. */
  readonly medianOf: number
  /** Readings older than this may be forgotten; 0: no history is kept at all. */
  readonly history_s: number
}

export interface ProgramQuantity {
  readonly name: QuantityName
  /** Channel numbers, the most trusted first. */
  readonly trust: readonly number[]
  /** Two trusted channels that differ by more than this are reported; Infinity: never. */
  readonly disagree: number
  readonly isGravity: boolean
}

export interface ProgramAppliance {
  readonly restsAtLeast_s: number
  readonly runsAtLeast_s: number
  readonly response_s: number
  /** Cascade: whether it follows the cabinet's air (true) or the beer. */
  readonly followsAir: boolean
}

export interface ProgramThermostat {
  /** What is behind it. */
  readonly heats: boolean
  readonly cools: boolean
  readonly followsAir: boolean
  readonly lowest_C: number
  readonly highest_C: number
  readonly resolution_K: number
  /** The beer counts as away from the target beyond this: its hysteresis, and what two thermometers may differ by. */
  readonly away_K: number
  /** It does not go off by itself when its command lapses. */
  readonly keepsTarget: boolean
  readonly warmsWithin_s: number
  readonly coolsWithin_s: number
}

export interface ProgramStage {
  readonly name: string
  readonly course: Course
  readonly control: ControlSettings
  /** Some condition of the stage asks for the target, or for the time since it was reached. */
  readonly asksTarget: boolean
  readonly until: Test | null
  /** Stage number; `stages.length` is the end of the plan. */
  readonly next: number
  readonly askFirst: boolean
  readonly question: string
  readonly atMost_s: number
  readonly ifLate: LateResponse['kind'] | null
  readonly lateNext: number
  readonly unknownWait_s: number
  readonly ifUnknown: 'ask' | 'use' | 'hold' | null
  readonly instead: Test | null
  readonly branches: readonly {
    readonly when: Test
    readonly next: number
    readonly askFirst: boolean
    readonly question: string
  }[]
  readonly tasks: readonly { readonly name: string; readonly when: Test | null; readonly wait: boolean }[]
}

/** A condition ready to be evaluated. `dwell` is its place in `EngineState.dwells`, -1 when it needs none. */
export type Test = { readonly dwell: number; readonly lasting_s: number } & (
  | { readonly kind: 'all' | 'any'; readonly of: readonly Test[] }
  | { readonly kind: 'not'; readonly of: Test }
  | { readonly kind: 'elapsed'; readonly since: 'pitch' | 'stage' | 'target'; readonly atLeast_s: number }
  /** `final`: the threshold counts from the expected final gravity, which an edit may change. -1: never measured. */
  | {
      readonly kind: 'compare'
      readonly quantity: number
      readonly atLeast: boolean
      readonly threshold: number
      readonly above: 'nothing' | 'final' | 'forecast'
      readonly forecast: number
    }
  /** Apparent attenuation, a share: falls together with the original gravity that is believed. */
  | { readonly kind: 'attenuation'; readonly quantity: number; readonly atLeast: number }
  | {
      readonly kind: 'fall'
      readonly quantity: number
      readonly atLeast: boolean
      readonly rate_per_s: number
      readonly over_s: number
    }
  | { readonly kind: 'steady'; readonly quantity: number; readonly within: number; readonly for_s: number }
  | { readonly kind: 'near target'; readonly within_K: number }
  | { readonly kind: 'calendar'; readonly local_s: number }
  | { readonly kind: 'time of day'; readonly from_s: number; readonly to_s: number }
  | { readonly kind: 'done'; readonly task: string }
)
