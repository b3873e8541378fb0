import type { Answer, BatchState, EngineEvent, Question, SetReason, SwitchedName } from './events.ts'

/**
 * The engine's contract: `advance(program, state, inputs) -> { state, commands, events, stands }`.
 *
 * Pure and deterministic: no clock, no randomness, no I/O. Times are whole seconds since 1970-01-01T00:00 UTC.
 * The state is plain data that survives JSON, so that a batch can be taken up again in mid-stage.
 */

/** A reading that has arrived. `channel` is an index into `Program.channels`. */
export interface ReadingInput {
  readonly channel: number
  /** In the quantity's own unit. Not finite: bad. */
  readonly value: number
  /** When it was taken; never later than `now_s`. */
  readonly at_s: number
  /** As in OPC UA; left out: good. Uncertain readings are kept but not believed. */
  readonly status?: 'good' | 'uncertain' | 'bad'
}

export interface AnswerInput {
  readonly question: number
  readonly answer: Answer
}

/** What a person (or the machine's start) does to a running batch. */
export type Edit =
  | { readonly kind: 'start' }
  /** Stay in the stage and keep the temperature: the stage's clock stands still until the batch goes on. */
  | { readonly kind: 'hold' }
  | { readonly kind: 'resume' }
  | { readonly kind: 'stop' }
  | { readonly kind: 'abort' }
  | { readonly kind: 'go to'; readonly stage: string }
  /**
   * The controller was down: appliances may have stopped or run meanwhile, so rest times count from now; and nobody knows how
   * old what it remembers is, so no temperature is believed before it has been read anew.
   */
  | { readonly kind: 'restarted' }
  | { readonly kind: 'expect final gravity'; readonly gravity: number }
  /** Measured by hand: what attenuation is counted from, whatever the float or the beer file says. */
  | { readonly kind: 'original gravity'; readonly gravity: number }

export interface Inputs {
  readonly now_s: number
  /** In any order; those that arrived since the last call. */
  readonly readings: readonly ReadingInput[]
  readonly answers: readonly AnswerInput[]
  readonly edits: readonly Edit[]
}

/**
 * A lease: what an appliance should do until `until_s`, when it falls back to off by itself. The fence grows with every
 * command, so that an appliance can refuse a command older than one it has seen.
 */
export type Command = SwitchCommand | TargetCommand

export interface SwitchCommand {
  readonly appliance: SwitchedName
  readonly on: boolean
  readonly until_s: number
  readonly fence: number
}

/** For a thermostat, which does the switching itself. null: off. */
export interface TargetCommand {
  readonly appliance: 'thermostat'
  readonly target_C: number | null
  readonly until_s: number
  readonly fence: number
}

/**
 * How long the answer holds. Calling again would change nothing (but each channel's latest value and time) before
 * `until_s`, as long as every reading is good and lies strictly within its channel's bounds, and no channel that has a
 * `silence_s` stays silent for longer than that after its latest reading.
 *
 * A caller that skipped calls hands over with the next call what it skipped: of a channel that is remembered each reading, of
 * the others the latest.
 */
export interface Stands {
  readonly until_s: number
  /** The same, but for leases: what is due before this time is to renew them (see `renew`). Left out: as `until_s`. */
  readonly decidedUntil_s?: number
  /** By channel. An empty interval (`lower` not below `upper`) asks to be called at each reading. */
  readonly lower: readonly number[]
  readonly upper: readonly number[]
  /** By channel: call once this much time has passed since its latest reading; Infinity when it does not matter. */
  readonly silence_s: readonly number[]
  /** By channel: whether the engine keeps a history of its readings. Left out: of none. */
  readonly remembers?: readonly boolean[]
}

export interface Outcome {
  readonly state: EngineState
  readonly commands: readonly Command[]
  readonly events: readonly EngineEvent[]
  readonly stands: Stands
}

/** What the engine remembers of one channel. Absent values are null, so that it survives JSON. */
export interface ChannelState {
  readonly value: number | null
  readonly at_s: number | null
  /** Believed: may be in charge. */
  readonly trusted: boolean
  /** It has been lost before, so it must earn its way back. */
  readonly doubted: boolean
  /** Good readings in a row since it was last doubted; only counted while it is not trusted. */
  readonly run: number
  /** Of that row, when it began, and whether two of its readings differ. null or left out: there is none, or nobody asks. */
  readonly row?: { readonly since_s: number; readonly varies: boolean } | null
  /** The latest reading that was believed (at_s, value), once the channel is not any more. null or left out: it never was. */
  readonly sure?: readonly [number, number] | null
  /** What it has shown without a change since a look, while it reported (stillness.ts). null or left out: not known. */
  readonly still?: Still | null
  /** Nothing explains any more that it has shown the same value since then. null or left out: it is not so. */
  readonly stuckSince_s?: number | null
  /** The latest good readings, oldest first: as many as the median takes. Empty for channels that need no history. */
  readonly recent: readonly number[]
  /** Good readings (at_s, value), oldest first, as far back as a condition may ask, thinned to a few hundred. */
  readonly history: readonly (readonly [number, number])[]
}

export interface Still {
  readonly since_s: number
  readonly value: number
  /** Another channel of the same quantity, and what it showed then; -1 and null: there was none. */
  readonly other: number
  readonly otherValue: number | null
}

/** What the engine remembers of one condition node that carries a memory (a dwell). */
export interface DwellState {
  readonly trueSince_s: number | null
}

export interface ApplianceState {
  readonly on: boolean
  /** When it last changed, on or off, or may have changed (the batch's or the software's start); null: never. */
  readonly since_s: number | null
  /** When it was last seen to stop after it had run; null: it has not run. */
  readonly ranUntil_s: number | null
  /** When the latest lease ends, also after it has been told to go off: if that never arrived, it runs until then. */
  readonly leaseUntil_s: number | null
  readonly withheld: string | null
  /** Response watch: the reading and the time from which the rise or fall is counted; null: not watched. */
  readonly watchFrom_s: number | null
  readonly watchFrom_C: number | null
  /** The temperature has answered since it was switched on. */
  readonly hasResponded: boolean
  readonly lockedOut: boolean
}

export interface ThermostatState {
  /** What it is set to; null: off. */
  readonly set_C: number | null
  readonly why: SetReason
  /** When the latest lease ends; null: none was given. */
  readonly leaseUntil_s: number | null
  /** Response watch: which way the beer should go, the reading and the time from which that is counted; null: not watched. */
  readonly watchTowards: 'warmer' | 'colder' | null
  readonly watchFrom_s: number | null
  readonly watchFrom_C: number | null
  readonly hasResponded: boolean
  readonly lockedOut: boolean
}

/** A batch that is held: since when, and by whom or by which response of the plan. */
export interface Hold {
  readonly since_s: number
  readonly by: 'brewer' | 'limit' | 'late' | 'unknown'
  /** A free rise that is held keeps this temperature. null: another course, or the beer has not been known since. */
  readonly keeps_C: number | null
}

export interface EngineState {
  readonly batch: BatchState
  readonly startedAt_s: number | null
  /** The software began anew: thermometers are believed by readings that were taken later. null or left out: never. */
  readonly restartedAt_s?: number | null
  /** When it was last looked at whether a thermometer stands still. null or left out: not yet. */
  readonly lookedAt_s?: number | null
  /** When the engine was last called. */
  readonly now_s: number | null
  readonly stage: number
  readonly stageSince_s: number
  /** When the stage's target was first reached; null: not yet. */
  readonly reachedAt_s: number | null
  /**
   * null (or left out, in a state of an older version): the batch is not held. One that was complete, stopped or aborted
   * while it was held keeps it.
   */
  readonly hold?: Hold | null
  /** For how long the batch was held in this stage, but for a hold that lasts: the stage's clock is behind by so much. */
  readonly heldInStage_s?: number
  /** The same since its target was reached. */
  readonly heldSinceReached_s?: number
  /** Target at the stage's beginning, from which a ramp starts. */
  readonly from_C: number | null
  readonly target_C: number | null
  readonly finalGravity: number | null
  /** null (or left out, in a state of an older version): still as the beer file says, and open to what is measured. */
  readonly originalGravity?: number | null
  readonly channels: readonly ChannelState[]
  /** By quantity of the program: index of the channel in charge; -1: none. */
  readonly inCharge: readonly number[]
  /** By condition node with a dwell. */
  readonly dwells: readonly DwellState[]
  readonly unknownSince_s: number | null
  readonly fallback: boolean
  readonly lateAt_s: number | null
  readonly tasksGiven: readonly string[]
  readonly tasksDone: readonly string[]
  readonly questions: readonly Question[]
  readonly nextQuestion: number
  /** 'not yet' was answered: the question may be put again after this time. */
  readonly declined: readonly { readonly key: string; readonly until_s: number }[]
  readonly heater: ApplianceState
  readonly cooler: ApplianceState
  /** null: the vessel has none. */
  readonly thermostat: ThermostatState | null
  readonly controller: ControllerState
  readonly limitBroken: 'lowest' | 'highest' | null
  /** Quantities whose two most trusted instruments differ too much; `said`: for so long that it was reported. */
  readonly disagreeing: readonly {
    readonly quantity: number
    readonly since_s: number
    readonly said: boolean
  }[]
  readonly fence: number
}

/** Memory of the controllers; which parts are used depends on the method. */
export interface ControllerState {
  readonly wantHeat: boolean
  readonly wantCool: boolean
  /** Integral part: share of full power (proportional) or K (cascade). */
  readonly integral: number
  /** Number of the stage whose settings the controller last used; -1: none yet. */
  readonly stage: number
  /** The measurement at the last sample, for the derivative. */
  readonly lastMeasured_C: number | null
  /** When the present window began, and until when heat or cold is on in it. */
  readonly windowFrom_s: number | null
  readonly heatUntil_s: number
  readonly coolUntil_s: number
  readonly output: number
  readonly airTarget_C: number | null
}
