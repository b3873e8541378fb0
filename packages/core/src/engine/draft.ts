import type { EngineState, ReadingInput } from './contract.ts'
import type { EngineEvent, SwitchedName } from './events.ts'
import type { Program } from './program.ts'
import type { Scope } from './scope.ts'

type Writable<T> = { -readonly [K in keyof T]: T[K] }

/**
 * One call of the engine while it is being worked out: the next state under construction (its parts are replaced, never
 * changed in place, so the caller's state stays as it was), the events so far, and how long the answer will stand.
 * Each part of the pipeline takes the draft, does its one thing, and hands it on.
 */
export interface Draft {
  readonly program: Program
  readonly now_s: number
  readonly state: Writable<EngineState>
  readonly events: EngineEvent[]
  scope: Scope
}

export function beginDraft(program: Program, before: EngineState, now_s: number, scope: Scope): Draft {
  return { program, now_s, state: { ...before, now_s }, events: [], scope }
}

/**
 * The heater's or the cooler's part of a state or a program. Not `parts[name]`: a name that varies is looked up anew each
 * time, and steps ask so often that a whole rehearsal took 5 % longer.
 */
export function partOf<T>(parts: { readonly heater: T; readonly cooler: T }, name: SwitchedName): T {
  return name === 'heater' ? parts.heater : parts.cooler
}

/** The channel in charge of a quantity, -1 when its value is unknown. */
export function channelInCharge(draft: Draft, quantity: number): number {
  return quantity < 0 ? -1 : draft.state.inCharge[quantity]!
}

/** The value that the engine believes for a quantity; null: unknown. */
export function believed(draft: Draft, quantity: number): number | null {
  const channel = channelInCharge(draft, quantity)
  return channel < 0 ? null : draft.state.channels[channel]!.value
}

/** Readings in the order in which they were taken; those of one moment in the order of the channels. */
export function inOrder(readings: readonly ReadingInput[]): readonly ReadingInput[] {
  for (let n = 1; n < readings.length; n++) {
    if (byTime(readings[n - 1]!, readings[n]!) > 0) return readings.toSorted(byTime)
  }
  return readings
}

const byTime = (a: ReadingInput, b: ReadingInput) => a.at_s - b.at_s || a.channel - b.channel
