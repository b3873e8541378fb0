/**
 * What the engine decided, and why: data from which a sentence is made (report/sentences.ts). Times are seconds since
 * 1970-01-01T00:00 UTC. Every event stands for a change; what stays as it was is not said again.
 */
export type EngineEvent = {
  readonly at_s: number
} /** `by`: how the last stage ended, when the plan is complete. */ & (
  | {
      readonly kind: 'batch'
      readonly from: BatchState
      readonly to: BatchState
      readonly why: string
      readonly by: StageWhy | null
    }
  | {
      readonly kind: 'stage'
      readonly stage: string
      readonly from: string | null
      readonly why: StageWhy
    }
  | {
      readonly kind: 'target reached'
      readonly stage: string
      readonly target_C: number
      readonly beer_C: number
    }
  | { readonly kind: 'asked'; readonly question: Question }
  /** `withdrawn`: the reason for asking has gone away before the brewer answered. */
  | { readonly kind: 'answered'; readonly question: Question; readonly answer: Answer | 'withdrawn' }
  | { readonly kind: 'late'; readonly stage: string; readonly after_s: number; readonly response: string }
  | {
      readonly kind: 'unknown too long'
      readonly stage: string
      readonly after_s: number
      readonly response: string
    }
  | { readonly kind: 'task'; readonly stage: string; readonly task: string; readonly wait: boolean }
  /**
   * What attenuation is counted from, from now on. from: a float that is demonstrably in the wort, a reading by hand, or
   * the beer file, because no float could be shown to be in the wort in time.
   */
  | {
      readonly kind: 'original gravity'
      readonly gravity: number
      readonly before: number
      readonly from: 'float' | 'hand' | 'beer file'
      /** The float; null: none. */
      readonly instrument: string | null
    }
  /** Whom the engine believes for a quantity; null: nobody, the quantity is unknown. */
  | {
      readonly kind: 'in charge'
      readonly quantity: string
      readonly instrument: string | null
      readonly before: string | null
    }
  | {
      readonly kind: 'instrument lost'
      readonly instrument: string
      readonly quantity: string
      /** implausible: in the instrument's range, but not what this beer can read at this time. */
      readonly why: 'silent' | 'bad' | 'implausible' | 'jumped'
      readonly value: number | null
    }
  | {
      readonly kind: 'instrument back'
      readonly instrument: string
      readonly quantity: string
      readonly value: number
    }
  /**
   * A thermometer shows exactly the same value as at `since_s`, although so much time has passed, an appliance has run so long
   * without a break, or others of the same quantity have moved.
   */
  | {
      readonly kind: 'stuck'
      readonly instrument: string
      readonly quantity: string
      readonly value: number
      readonly since_s: number
      readonly because: 'time' | 'heater' | 'cooler' | 'others'
    }
  /** It shows another value again. */
  | {
      readonly kind: 'moves again'
      readonly instrument: string
      readonly quantity: string
      readonly value: number
    }
  | {
      readonly kind: 'disagree' | 'agree'
      readonly quantity: string
      readonly instruments: readonly [string, string]
      readonly difference: number
    }
  | {
      readonly kind: 'switched'
      readonly appliance: SwitchedName
      readonly on: boolean
      readonly why: SwitchReason
      readonly target_C: number | null
      readonly beer_C: number | null
    }
  /** The controller wanted it on, but an interlock did not allow it (said once per reason and demand). */
  | {
      readonly kind: 'withheld'
      readonly appliance: SwitchedName
      readonly why: SwitchReason
      readonly until_s: number | null
    }
  /** What a thermostat is set to, or the reason for it, has changed. null: off. `target_C` is the plan's. */
  | {
      readonly kind: 'thermostat set'
      readonly set_C: number | null
      readonly why: SetReason
      readonly target_C: number | null
      readonly beer_C: number | null
    }
  | {
      readonly kind: 'limit broken' | 'limit kept'
      readonly limit: 'lowest' | 'highest'
      readonly limit_C: number
      readonly beer_C: number
    }
  /**
   * Switched on (a thermostat: set far from the beer) for a long time without the expected answer of the temperature:
   * stopped until the brewer says otherwise. `towards`: what a thermostat should have done.
   */
  | {
      readonly kind: 'no response'
      readonly appliance: ApplianceName
      readonly towards?: 'warmer' | 'colder'
      readonly after_s: number
      readonly from_C: number
      readonly to_C: number
    }
)

/** What moved the batch: the stage's condition, a branch, its longest time, the fallback condition, the brewer. */
export type StageWhy = 'start' | 'condition' | 'branch' | 'late' | 'fallback' | 'answer' | 'edit'

/** What the engine switches itself. */
export type SwitchedName = 'heater' | 'cooler'

/** What the engine sends commands to; a vessel with a thermostat has that alone. */
export type ApplianceName = SwitchedName | 'thermostat'

/** Why an appliance is on or off. The first is the controller's, the others are interlocks. */
export type SwitchReason =
  | 'controller'
  | 'other appliance runs'
  | 'changeover'
  | 'rest'
  | 'beer temperature unknown'
  | 'highest limit'
  | 'lowest limit'
  | 'no response'
  | 'lapsed'
  | 'batch not running'

/**
 * Why a thermostat is set as it is: to the plan's target, cut to what a limit of the plan or its own range allows; to the
 * air that is to bring the beer to its target; off in the free part of a free rise, or because nothing is to be controlled;
 * the others are interlocks, of which "beer temperature unknown" leaves it as it was.
 */
export type SetReason =
  | 'target'
  | 'lowest limit'
  | 'highest limit'
  | 'range'
  | 'air for the beer'
  | 'free rise'
  | 'left alone'
  | 'limit broken'
  | 'beer temperature unknown'
  | 'no response'
  | 'lapsed'
  | 'batch not running'

/** As in ISA-88 (IEC 61512). */
export type BatchState = 'idle' | 'running' | 'held' | 'complete' | 'stopped' | 'aborted'

export interface Question {
  /** Counts from 1 within a batch. */
  readonly id: number
  readonly about: 'go on' | 'branch' | 'late' | 'unknown' | 'task' | 'no response' | 'limit'
  readonly stage: string
  /** The brewer's own words from the plan, or the task's name, or ''. */
  readonly text: string
  /** For 'branch': the stage that it leads to; for 'no response': the appliance. */
  readonly subject: string
}

/**
 * yes: go on (or: done, or: switch it on again). not yet: stay; the question is put again when the condition next
 * becomes true, or after the stage's longest time once more.
 */
export type Answer = 'yes' | 'not yet'
