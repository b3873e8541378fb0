/**
 * What a rehearsal answers. All of it is plain data; `rehearse --json` prints it, and the JSON Schema
 * docs/reference/output/rehearse.schema.json describes it. Hours count from pitching (hot side: from the start).
 */

/** Quantiles over runs: the median, and the ends of the 50 % and 90 % intervals. null: in that share of runs never. */
export interface Quantiles {
  readonly p5: number | null
  readonly p25: number | null
  readonly p50: number | null
  readonly p75: number | null
  readonly p95: number | null
}

export interface StageSummary {
  readonly stage: string
  /** Hours from pitching to the stage's beginning, over the runs that entered it. */
  readonly begins_h: Quantiles
  /** Hours spent in it, over the runs that left it. */
  readonly lasts_h: Quantiles
  /** Share of runs, 0 to 1. */
  readonly entered: number
  /** How it ended, shares of the runs that entered it; together 1. `never`: still in it when the run was cut off. */
  readonly ended: {
    readonly condition: number
    readonly branch: number
    readonly late: number
    readonly fallback: number
    readonly answer: number
    readonly never: number
  }
  /** Share of the runs that entered it in which it ran into its longest time, or asked the brewer something. */
  readonly late: number
  readonly asked: number
}

/** The kinds of harm that a rehearsal tells apart; codes are stable. */
export type RiskCode =
  | 'never-leaves-stage'
  | 'waits-for-brewer'
  | 'too-warm'
  | 'too-cold'
  | 'chilled-early'
  | 'diacetyl'
  | 'freezing'
  | 'limit-broken'
  | 'short-cycling'
  | 'heater-fights-cooler'
  | 'target-not-followed'
  | 'final-gravity-not-reached'
  | 'instruments-disagree'
  | 'temperature-unknown'
  | 'no-response'

export interface Risk {
  readonly code: RiskCode
  /** One plain sentence about this rehearsal. */
  readonly message: string
  /** Share of runs that suffer it, 0 to 1. */
  readonly share: number
  /** 0 (a nuisance) to 1 (the batch is lost), of the median run that suffers it. Risks are ordered by share × harm. */
  readonly harm: number
  /** How bad, in `unit`, over the runs that suffer it. */
  readonly extent: Quantiles
  readonly unit: string
  /** Stage in which it happens most. */
  readonly stage: string | null
  /** Its model is an order of magnitude at best: it is told, but never leads a sentence. */
  readonly weaklyFounded: boolean
  /** Run numbers, the worst first, at most five; each can be shown again. */
  readonly worst: readonly number[]
}

export type DrillVerdict = 'passed' | 'needed the brewer' | 'failed' | 'not applicable'

export interface DrillResult {
  readonly drill: string
  readonly title: string
  readonly verdict: DrillVerdict
  /** Hours from pitching: when the fault began; when the verdict was decided (null: nothing happened). */
  readonly fault_h: number | null
  readonly moment_h: number | null
  /** One plain sentence: what the plan and the interlocks made of it. */
  readonly reason: string
  readonly highest_C: number
  readonly lowest_C: number
  readonly ready_h: number | null
}

/** A fan over an axis: aligned columns. */
export interface Fan {
  readonly p5: readonly (number | null)[]
  readonly p25: readonly (number | null)[]
  readonly p50: readonly (number | null)[]
  readonly p75: readonly (number | null)[]
  readonly p95: readonly (number | null)[]
  readonly nominal: readonly (number | null)[]
}

export interface RehearsalResult {
  readonly plan: string
  readonly vessel: string
  readonly beer: string
  readonly seed: number
  /** Number of drawn runs; the nominal run comes in addition and has number 0. */
  readonly runs: number
  readonly side: 'fermentation' | 'hot side'
  readonly limits: { readonly lowest_C: number | null; readonly highest_C: number | null }
  readonly originalGravity: number
  /** Runs are cut off after this time. */
  readonly horizon_h: number
  /** Hours until the plan is complete; p50 null: more than half of the runs never were. */
  readonly ready: { readonly hours: Quantiles; readonly share: number; readonly nominal_h: number | null }
  /** True gravity and alcohol (% by volume) at the end, over the runs that were completed. */
  readonly final: { readonly gravity: Quantiles; readonly alcohol_percent_vol: Quantiles }
  readonly stages: readonly StageSummary[]
  readonly risks: readonly Risk[]
  readonly drills: readonly DrillResult[]
  /**
   * Over time, hours from pitching. After a run's end a beer keeps its last value; a kettle is left out of the quantiles.
   */
  readonly overTime: {
    readonly time_h: readonly number[]
    readonly beer_C: Fan
    readonly gravity: Fan
    readonly target_C: Fan
    readonly heater_share: Fan
    readonly cooler_share: Fan
  }
  /** The path: beer temperature against gravity, gravity falling. */
  readonly path: { readonly gravity: readonly number[]; readonly beer_C: Fan; readonly target_C: Fan }
}

/** One run as data, for `--show` and for the drills. */
export interface RunTrace {
  readonly run: number
  readonly time_h: readonly number[]
  readonly beer_C: readonly number[]
  readonly gravity: readonly number[]
  readonly target_C: readonly (number | null)[]
  readonly heater_share: readonly number[]
  readonly cooler_share: readonly number[]
}
