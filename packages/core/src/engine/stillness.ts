import type { ApplianceState, ChannelState } from './contract.ts'
import { type Draft, partOf } from './draft.ts'
import type { ProgramChannel } from './program.ts'
import { presentStage } from './target.ts'

/*
 * A thermometer that goes on to report exactly the same value measures nothing any more. A beer does not stand still: noise,
 * the day's swing of the room, yeast, heater and cooler move it by more than a step of the display, sooner or later.
 *
 * The engine does not follow each reading for that, which would cost a rehearsal its speed. It looks now and then. From a look
 * on, a fine display is watched until it shows another value, mostly some readings later; a coarse one is compared from look
 * to look.
 */

/** Between two looks, s. What is stuck is noticed later by up to so much. */
const LOOK_EVERY_S = 6 * 3600
/** An appliance that has run for so long without a break must show in the beer soon: a look is worth while then, s. */
const RUNS_LONG_S = 3600
/** With a display of 0.1 °C or finer. Common practice, no source; simulated batches without a fault stay far below (stillness.test.ts). */
const STILL_S = 48 * 3600
/** The same while an appliance runs without a break, also one that is at its limit. Common practice, no source. */
const RAN_S = 6 * 3600
/** Another thermometer of the same beer has gone this far meanwhile, K, and this many steps of the display. */
const OTHERS_MOVED_K = 1
const OTHERS_MOVED_STEPS = 3

/** After whom is believed is known, and before it is decided who is in charge. */
export function watchStillness(draft: Draft): void {
  const { state, program, now_s, scope } = draft
  if (program.side !== 'fermentation' || presentStage(draft) === null) return
  if (!program.channels.some((_, number) => isObserved(draft, number))) return
  // The first look is as far away as the second: right after the start nothing can have stood still.
  state.lookedAt_s ??= now_s
  const isLook = now_s >= nextLook_s(draft)
  if (isLook) state.lookedAt_s = now_s
  for (let number = 0; number < program.channels.length; number++) {
    const { still: rule } = program.channels[number]!
    if (rule === null) continue
    noteMoved(draft, number, rule.isWatched || isLook)
    if (isLook) look(draft, number)
    judge(draft, number, isLook)
    const { still, stuckSince_s, value, trusted } = state.channels[number]!
    if (trusted && value !== null && (stuckSince_s != null || (rule.isWatched && still))) {
      scope.between(number, value - TINY, value + TINY)
    }
  }
}

/** To be asked when all has been switched: an appliance that has just begun to run is looked at later. */
export function standByLook(draft: Draft): void {
  const { program, scope } = draft
  if (program.side !== 'fermentation' || presentStage(draft) === null) return
  if (program.channels.some((_, number) => isObserved(draft, number))) scope.wake(nextLook_s(draft))
}

/** One that stands still, or may be found to do so. */
function isObserved({ program, state }: Draft, number: number): boolean {
  return (
    program.channels[number]!.still !== null &&
    (state.channels[number]!.trusted || !!state.channels[number]!.still)
  )
}

/** Smaller than any step of a display. */
const TINY = 1e-9

function nextLook_s({ state, now_s }: Draft): number {
  const { lookedAt_s } = state
  if (lookedAt_s == null) return now_s
  let next_s = lookedAt_s + LOOK_EVERY_S
  for (const { on, since_s } of [state.heater, state.cooler]) {
    if (!on || since_s === null || lookedAt_s >= since_s + RUNS_LONG_S) continue
    next_s = Math.min(next_s, since_s + RUNS_LONG_S)
  }
  return next_s
}

function change(draft: Draft, number: number, part: Partial<ChannelState>): void {
  const { state } = draft
  state.channels = state.channels.with(number, { ...state.channels[number]!, ...part })
}

/** What shows another value does not stand still; what is lost has an alarm of its own. */
function noteMoved(draft: Draft, number: number, mayEnd: boolean): void {
  const { still, stuckSince_s, value, doubted, trusted } = draft.state.channels[number]!
  if (!still) return
  if (doubted && !trusted) {
    change(draft, number, { still: null, stuckSince_s: null })
    return
  }
  const isStuck = stuckSince_s != null
  const hasMoved = value !== null && Math.abs(value - still.value) >= TINY
  if (!hasMoved || !trusted || !(mayEnd || isStuck)) return
  change(draft, number, { still: null, stuckSince_s: null })
  if (!isStuck) return
  const { instrument, quantity } = draft.program.channels[number]!
  const { name } = draft.program.quantities[quantity]!
  draft.events.push({ kind: 'moves again', at_s: draft.now_s, instrument, quantity: name, value })
}

/** Remembers what it shows now, unless it is remembered already. */
function look(draft: Draft, number: number): void {
  const { still, trusted, value } = draft.state.channels[number]!
  if (still || !trusted || value === null) return
  const other = otherOf(draft, number)
  const otherValue = other < 0 ? null : draft.state.channels[other]!.value
  change(draft, number, { still: { since_s: draft.now_s, value, other, otherValue } })
}

/** The most trusted other channel of the same quantity; -1: there is none. */
function otherOf({ program, state }: Draft, number: number): number {
  const { trust } = program.quantities[program.channels[number]!.quantity]!
  return trust.find(each => each !== number && state.channels[each]!.trusted) ?? -1
}

function judge(draft: Draft, number: number, isLook: boolean): void {
  const { still, stuckSince_s, trusted, value } = draft.state.channels[number]!
  if (!still || stuckSince_s != null || !trusted) return
  const because = causeOf(draft, number, isLook)
  if (because === null) return
  change(draft, number, { stuckSince_s: still.since_s })
  const { instrument, quantity } = draft.program.channels[number]!
  draft.events.push({
    kind: 'stuck',
    at_s: draft.now_s,
    instrument,
    quantity: draft.program.quantities[quantity]!.name,
    value: value!,
    since_s: still.since_s,
    because,
  })
}

/** Why it cannot be that it stands still; null: it can. */
function causeOf(
  draft: Draft,
  number: number,
  isLook: boolean,
): 'time' | 'heater' | 'cooler' | 'others' | null {
  const { program, state, now_s, scope } = draft
  const rule = program.channels[number]!.still!
  const still = state.channels[number]!.still!
  for (const name of ['heater', 'cooler'] as const) {
    const due_s = mustHaveMovedAt_s(draft, name, rule, still.since_s)
    if (due_s === null) continue
    if (now_s >= due_s) return name
    scope.wake(due_s)
  }
  if (isLook && still.other >= 0 && still.otherValue !== null) {
    const { trusted, value } = state.channels[still.other]!
    const far = Math.max(OTHERS_MOVED_K, OTHERS_MOVED_STEPS * rule.step_K)
    if (trusted && Math.abs(value! - still.otherValue) >= far) return 'others'
  }
  if (!rule.isWatched && !isLeftToItself(draft, still.since_s)) return null
  const due_s = still.since_s + STILL_S * rule.scale
  if (now_s >= due_s) return 'time'
  scope.wake(due_s)
  return null
}

/**
 * Nothing was switched since then. A beer that is well controlled may show one value of a coarse display for weeks; but with
 * such a display in charge nothing is switched as long as that value stays, so nobody controls it.
 */
function isLeftToItself({ program, state }: Draft, since_s: number): boolean {
  const isIdle = ({ on, since_s: changed_s }: ApplianceState) => !on && (changed_s ?? since_s) <= since_s
  return program.thermostat === null && isIdle(state.heater) && isIdle(state.cooler)
}

/** When an appliance that runs now will have run for so long that it must show; null: it does not run, or nobody can say. */
function mustHaveMovedAt_s(
  draft: Draft,
  name: 'heater' | 'cooler',
  { scale }: NonNullable<ProgramChannel['still']>,
  since_s: number,
): number | null {
  const { program, state } = draft
  const appliance: ApplianceState = partOf(state, name)
  const response_s = partOf(program, name)?.response_s ?? 0
  const { on, since_s: on_s, leaseUntil_s } = appliance
  if (!on || on_s === null || response_s === 0) return null
  const due_s = Math.max(since_s, on_s) + RAN_S * scale
  // It goes off by itself when its lease is not renewed.
  return leaseUntil_s !== null && draft.now_s >= leaseUntil_s ? null : due_s
}

/** How a channel of this display is judged; null: it is not. Noise is no sign of life: many chips show none. */
export function stillnessRule(
  isThermometer: boolean,
  isByHand: boolean,
  step_K: number,
): ProgramChannel['still'] {
  if (!isThermometer || isByHand) return null
  return {
    step_K,
    isWatched: step_K < COARSE_K,
    scale: Math.max(1, step_K / FINE_K),
  }
}

const FINE_K = 0.1
/** A display of steps like this may show one value for days. */
const COARSE_K = 0.2
