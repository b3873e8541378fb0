import type { Course } from '../plan/plan.ts'
import { believed, channelInCharge, type Draft } from './draft.ts'
import { keepTemperature, stageClock_s, stageLastsUntil_s } from './hold.ts'
import type { ProgramStage } from './program.ts'

/** A ramp moves in steps of this size, so that a moving target changes at known moments and stands still between them. */
const RAMP_STEP_K = 0.05

/** What the controller should do: heat below, cool above. null: do not. `power`: the heater at this share, whatever is measured. */
export interface Aim {
  readonly heatTo_C: number | null
  readonly coolTo_C: number | null
  readonly power: number | null
}

/** The stage being carried out; null while the batch is idle or over. A complete fermentation is kept at its last target. */
export function presentStage(draft: Draft): ProgramStage | null {
  const { program, state } = draft
  if (state.batch === 'running' || state.batch === 'held') return program.stages[state.stage] ?? null
  if (state.batch === 'complete' && program.side === 'fermentation') {
    return program.stages[Math.min(state.stage, program.stages.length - 1)] ?? null
  }
  return null
}

/** Fourth part of the pipeline: what the temperature should be now, and whether it has been reached. */
export function setTarget(draft: Draft): Aim {
  const stage = presentStage(draft)
  const { state } = draft
  const { target_C, reachedAt_s } = state
  const aim = followCourse(draft, stage)
  const isNews = state.target_C !== target_C || state.reachedAt_s !== reachedAt_s
  // The stage's conditions have already been looked at in this call, with the target as it was.
  if (isNews && stage?.asksTarget) draft.scope.lookAgain()
  return aim
}

function followCourse(draft: Draft, stage: ProgramStage | null): Aim {
  const { state } = draft
  if (stage === null) {
    state.target_C = null
    return { heatTo_C: null, coolTo_C: null, power: null }
  }
  const { course } = stage
  switch (course.kind) {
    case 'hold':
      state.target_C = course.target_C
      noteReached(draft, stage, course.target_C)
      return { heatTo_C: course.target_C, coolTo_C: course.target_C, power: null }
    case 'ramp': {
      // The plan is complete, and the beer is kept where it was then.
      if (state.batch === 'complete' && state.target_C !== null) {
        return { heatTo_C: state.target_C, coolTo_C: state.target_C, power: null }
      }
      // A ramp that was entered while the beer was unknown starts from where the beer is when it is known again.
      state.from_C ??= believed(draft, draft.program.beer)
      const start_C = course.from_C ?? state.from_C
      const target_C = start_C === null ? course.to_C : rampTarget(draft, start_C, course)
      state.target_C = target_C
      noteReached(draft, stage, course.to_C)
      return { heatTo_C: target_C, coolTo_C: target_C, power: null }
    }
    case 'free rise':
      return freeRise(draft, stage, course)
    case 'leave alone':
      state.target_C = null
      return { heatTo_C: null, coolTo_C: null, power: null }
    case 'boil':
      state.target_C = course.from_C
      noteReached(draft, stage, course.from_C)
      return { heatTo_C: null, coolTo_C: null, power: course.power }
  }
}

function freeRise(
  draft: Draft,
  stage: ProgramStage,
  { cap_C, lowest_C }: Extract<Course, { kind: 'free rise' }>,
): Aim {
  const { state } = draft
  keepTemperature(draft)
  const keeps_C = state.hold?.keeps_C ?? null
  state.target_C = keeps_C ?? cap_C
  noteReached(draft, stage, cap_C)
  if (keeps_C !== null) return { heatTo_C: keeps_C, coolTo_C: keeps_C, power: null }
  return { heatTo_C: lowest_C ?? null, coolTo_C: cap_C, power: null }
}

function rampTarget(
  draft: Draft,
  start_C: number,
  course: { readonly to_C: number; readonly over_s?: number; readonly rate_K_per_s?: number },
): number {
  const distance_K = course.to_C - start_C
  const size_K = Math.abs(distance_K)
  const rate_K_per_s = course.rate_K_per_s ?? size_K / course.over_s!
  const began_s = stageLastsUntil_s(draft.state, 0)
  const elapsed_s = stageClock_s(draft) - began_s
  const stepsAfter = (seconds: number) => {
    const moved_K = seconds * rate_K_per_s
    return moved_K < size_K ? Math.floor(moved_K / RAMP_STEP_K) : Number.POSITIVE_INFINITY
  }
  const steps = stepsAfter(elapsed_s)
  if (steps === Number.POSITIVE_INFINITY) return course.to_C
  // Rounding may place the step a second early.
  let next_s = Math.floor(Math.min((steps + 1) * RAMP_STEP_K, size_K) / rate_K_per_s)
  while (stepsAfter(next_s) <= steps) next_s++
  if (!draft.state.hold) draft.scope.wake(began_s + next_s)
  return start_C + Math.sign(distance_K) * steps * RAMP_STEP_K
}

function noteReached(draft: Draft, stage: ProgramStage, goal_C: number): void {
  const { state, scope, program, now_s } = draft
  if (state.reachedAt_s !== null || state.batch === 'complete') return
  const beer_C = believed(draft, program.beer)
  if (beer_C === null) return
  const channel = channelInCharge(draft, program.beer)
  const isWarm = scope.atLeast(channel, beer_C, goal_C - stage.control.reached_K)
  const isCool =
    stage.course.kind === 'boil' || scope.atMost(channel, beer_C, goal_C + stage.control.reached_K)
  if (!isWarm || !isCool) return
  state.reachedAt_s = now_s
  draft.events.push({ kind: 'target reached', at_s: now_s, stage: stage.name, target_C: goal_C, beer_C })
}
