import type { Place } from '../place.ts'

/**
 * A plan as read: plain immutable data, units at the end of each name, each node with its place in the text.
 *
 * The words follow IEC 60848 (stage = step, transition, condition = receptivity) and the brewing trade.
 */
export interface Plan {
  readonly name: string
  /** A hot-side plan (mash, boil) has no yeast; times "since pitch" then count from the start. */
  readonly side: 'fermentation' | 'hot side'
  readonly limits: Limits
  /** Control settings for every stage; a stage may override single ones. */
  readonly control: Partial<ControlSettings>
  readonly stages: readonly Stage[]
  readonly place: Place
}

/** The temperatures that the beer must never leave, whatever a stage says. */
export interface Limits {
  readonly lowest_C?: number
  readonly highest_C?: number
  /**
   * alarm: say so, and keep controlling; hold: also stop moving through the stages; switch off: also switch everything
   * off. In each case nothing heats above the highest or cools below the lowest limit.
   */
  readonly ifBroken: 'alarm' | 'hold' | 'switch off'
  readonly place: Place
}

export interface Stage {
  readonly name: string
  readonly course: Course
  /** Moves the batch on, to `next`, when it becomes true. A stage without it ends only by a branch or by its longest time. */
  readonly until?: Condition
  readonly next: Destination
  /** The brewer is asked before the batch moves on; a text is the question itself. */
  readonly askFirst: boolean
  readonly question?: string
  /** Longest time in the stage, s. */
  readonly atMost_s?: number
  readonly ifLate: LateResponse
  readonly ifUnknown?: UnknownResponse
  readonly branches: readonly Branch[]
  readonly tasks: readonly Task[]
  readonly control: Partial<ControlSettings>
  readonly place: Place
  /** Where the course (`hold:` and so on), the longest time and the name stand. */
  readonly places: {
    readonly course: Place
    readonly name: Place
    readonly atMost?: Place
    readonly control?: Place
  }
}

/** Where a transition leads: the following stage (or the end after the last), a named stage, or the end of the plan. */
export type Destination =
  | { readonly kind: 'following' }
  | { readonly kind: 'stage'; readonly name: string; readonly place: Place }
  | { readonly kind: 'finish' }

/** What happens when a stage reaches its longest time. `hold`: stay, keep the temperature and raise an alarm. */
export type LateResponse =
  | { readonly kind: 'ask' }
  | { readonly kind: 'go on' }
  | { readonly kind: 'hold' }
  | { readonly kind: 'go to'; readonly destination: Destination }

/** What happens when the stage's condition has been unknown without a break for `wait_s`. */
export interface UnknownResponse {
  readonly wait_s: number
  /** `use`: from then on, and as long as the condition stays unknown, `instead` decides. */
  readonly then:
    | { readonly kind: 'ask' }
    | { readonly kind: 'use'; readonly instead: Condition }
    | { readonly kind: 'hold' }
  readonly place: Place
}

/** A further way out of a stage; branches are looked at in order, before `until`. */
export interface Branch {
  readonly when: Condition
  readonly destination: Destination
  readonly askFirst: boolean
  readonly question?: string
  readonly place: Place
}

/** Something the brewer is told to do, at the stage's beginning or when `when` first becomes true. */
export interface Task {
  readonly name: string
  readonly when?: Condition
  /** The stage cannot be left before the brewer has answered. */
  readonly wait: boolean
  readonly place: Place
}

/** What the temperature should do during a stage. Times in s, temperatures in °C, differences in K. */
export type Course =
  | { readonly kind: 'hold'; readonly target_C: number }
  /** From `from_C`, or from the target at the stage's beginning, to `to_C`, over a time or at a rate (always positive). */
  | {
      readonly kind: 'ramp'
      readonly from_C?: number
      readonly to_C: number
      readonly over_s?: number
      readonly rate_K_per_s?: number
    }
  /** The yeast's own heat may raise the beer: nothing heats above `lowest_C`, nothing cools below `cap_C`. */
  | { readonly kind: 'free rise'; readonly cap_C: number; readonly lowest_C?: number }
  /** Nothing heats and nothing cools; only the interlocks act. */
  | { readonly kind: 'leave alone' }
  /** The heater at a constant share of its power, 0 to 1. Target for "reached": the boiling point of water, 100 °C at sea level. */
  | { readonly kind: 'boil'; readonly power: number; readonly from_C: number }

/**
 * A measured quantity. Those named here have a meaning of their own; any other name is a quantity that the vessel file
 * declares and that plans may compare (pressure, pH, humidity, power).
 */
export type QuantityName = 'beer' | 'air' | 'gravity' | 'forecast final gravity' | (string & {})

/**
 * Conditions have three values (Kleene): true, false and unknown. Every kind may carry a dwell: `lasting_s` is how long it
 * must have been true without a break. Values are in the quantity's own unit: °C, specific gravity (1.012), 1 for pH,
 * Pa for pressure, W for power, a share from 0 to 1 for humidity.
 */
export type Condition = {
  readonly lasting_s: number
  readonly place: Place
} & (
  | { readonly kind: 'all' | 'any'; readonly of: readonly Condition[] }
  | { readonly kind: 'not'; readonly of: Condition }
  /** Since pitching, since the stage began, or since the stage's target was first reached. */
  | { readonly kind: 'elapsed'; readonly since: 'pitch' | 'stage' | 'target'; readonly atLeast_s: number }
  | {
      readonly kind: 'compare'
      readonly quantity: QuantityName
      readonly relation: 'at least' | 'at most'
      readonly against: Reference
    }
  /** Apparent attenuation, (OG - SG) / (OG - 1), at least this share. */
  | { readonly kind: 'attenuation'; readonly atLeast: number }
  /** How fast the gravity falls, averaged over a window by least squares; in specific gravity per s, positive when falling. */
  | {
      readonly kind: 'fall'
      readonly relation: 'at least' | 'at most'
      readonly rate_per_s: number
      readonly over_s: number
    }
  /** The least-squares line through the readings of the last `for_s` changes by no more than `within` over that time. */
  | {
      readonly kind: 'steady'
      readonly quantity: QuantityName
      readonly within: number
      readonly for_s: number
    }
  /** The beer is within this difference of the target. */
  | { readonly kind: 'near target'; readonly within_K: number }
  /** Local date and time from which on it is true, as the brewer wrote it: 2026-12-01T18:00. */
  | { readonly kind: 'calendar'; readonly from: LocalDateTime }
  /** Local time of day, s after midnight; `from_s` later than `to_s` spans midnight. */
  | { readonly kind: 'time of day'; readonly from_s: number; readonly to_s: number }
  /** The brewer has answered the named task, in whatever stage it was given. */
  | { readonly kind: 'done'; readonly task: string }
)

export interface LocalDateTime {
  readonly text: string
  /** Seconds from 1970-01-01T00:00 on a clock that shows this local time (no zone applied). */
  readonly local_s: number
}

/** What a quantity is compared with. `above final` and `above forecast` are differences of specific gravity (0.010 = 10 points). */
export type Reference =
  | { readonly kind: 'value'; readonly value: number }
  | { readonly kind: 'above final'; readonly difference: number }
  | { readonly kind: 'above forecast'; readonly difference: number }

/** How the temperature is kept. Differences in K, times in s. */
export interface ControlSettings {
  /**
   * on-off: heater and cooler each with its own hysteresis. proportional: PI(D) with time-proportioned output.
   * cascade: the beer's error sets a target for the cabinet's air, and an on-off controller keeps the air there.
   */
  readonly method: 'on-off' | 'proportional' | 'cascade'
  /** The heater starts this far below the target... */
  readonly heatStart_K: number
  /** ...and stops this far below it (negative: above it). */
  readonly heatStop_K: number
  /** The cooler starts this far above the target... */
  readonly coolStart_K: number
  /** ...and stops this far above it (negative: below it). */
  readonly coolStop_K: number
  /** Ideal form u = gain (e + 1/integral ∫e dt − derivative dy/dt); u is a share of full power, 1/K. */
  readonly gain_per_K: number
  /** 0 switches the integral part off. */
  readonly integral_s: number
  readonly derivative_s: number
  /** Length of one on/off window of the proportioned output; also the controller's sampling time. */
  readonly window_s: number
  /** Cascade only: air target = beer target + cascadeGain × error, kept between these two temperatures. */
  readonly cascadeGain: number
  readonly airLowest_C: number
  readonly airHighest_C: number
  /** The target counts as reached when the beer is within this of it. */
  readonly reached_K: number
}
