import type { EngineState, Hold } from './contract.ts'
import { believed, type Draft } from './draft.ts'

/*
 * A held batch stays where it is: the stage's clock stands still, and with it a ramp, the time in the stage, the time since
 * its target was reached, and its longest time; a free rise keeps the temperature that the beer had. The beer's own clock
 * goes on: the time since pitching, what its gravity does, the dwell of a condition.
 */

/** Held from now on. */
export function beginHold(draft: Draft, by: Hold['by']): void {
  const { state, now_s } = draft
  state.hold = { since_s: now_s, by, keeps_C: null }
  keepTemperature(draft)
}

/** Goes on from where it was held. */
export function endHold({ state, now_s }: Draft): void {
  const { hold } = state
  if (!hold) return
  state.hold = null
  state.heldInStage_s = heldInStage_s(state) + (now_s - hold.since_s)
  if (state.reachedAt_s === null) return
  state.heldSinceReached_s = heldSinceReached_s(state) + (now_s - Math.max(hold.since_s, state.reachedAt_s))
}

/** A stage that begins has nothing of it any more. */
export function forgetHold({ state }: Draft): void {
  state.hold = null
  state.heldInStage_s = 0
  state.heldSinceReached_s = 0
}

/** What time it is for the stage: stands still while the batch is held. To be compared with `inStage_s` and `sinceReached_s`. */
export function stageClock_s({ state, now_s }: Draft): number {
  return state.hold ? state.hold.since_s : now_s
}

/** When the stage will have lasted this long by its own clock, if it is not held (again). */
export function stageLastsUntil_s(state: EngineState, for_s: number): number {
  return state.stageSince_s + heldInStage_s(state) + for_s
}

/** The same since its target was reached, which it must have been. */
export function reachedLastsUntil_s(state: EngineState, for_s: number): number {
  return state.reachedAt_s! + heldSinceReached_s(state) + for_s
}

/** A moment on the stage's clock: whether it has come. One that lies ahead is waited for, unless the clock stands still. */
export function hasCome(draft: Draft, at_s: number): boolean {
  if (stageClock_s(draft) >= at_s) return true
  if (!draft.state.hold) draft.scope.wake(at_s)
  return false
}

/** A free rise that is held keeps the beer where it was; when nobody knew, where it is found. */
export function keepTemperature(draft: Draft): void {
  const { state, program } = draft
  const { hold } = state
  const course = program.stages[state.stage]?.course
  if (!hold || hold.keeps_C !== null || course?.kind !== 'free rise') return
  const beer_C = believed(draft, program.beer)
  if (beer_C === null) return
  const keeps_C = Math.min(course.cap_C, Math.max(course.lowest_C ?? Number.NEGATIVE_INFINITY, beer_C))
  state.hold = { ...hold, keeps_C }
}

/** A batch that an older version held goes on as held from the moment at which that version was last called. */
export function withHold(state: EngineState): EngineState {
  if (state.batch !== 'held' || state.hold) return state
  const asks = (about: string) => state.questions.some(question => question.about === about)
  const by = (['limit', 'unknown', 'late'] as const).find(asks) ?? 'brewer'
  return { ...state, hold: { since_s: state.now_s ?? state.stageSince_s, by, keeps_C: null } }
}

const heldInStage_s = ({ heldInStage_s }: EngineState) => heldInStage_s ?? 0
const heldSinceReached_s = ({ heldSinceReached_s }: EngineState) => heldSinceReached_s ?? 0
