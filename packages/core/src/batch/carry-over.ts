import type { EngineState } from '../engine/contract.ts'
import type { EngineEvent, Question } from '../engine/events.ts'
import type { Program, ProgramStage } from '../engine/program.ts'

/** A state that goes on under a changed plan, and what has to be told about it. */
export interface CarriedOver {
  readonly state: EngineState
  readonly events: readonly EngineEvent[]
}

/** Questions that the engine puts by itself as soon as they apply: under a new plan, they are put anew. */
const ASKED_ANEW: readonly Question['about'][] = ['go on', 'branch', 'late', 'unknown']

/**
 * Takes a batch over to a changed plan, in the stage of the same name: the time in the stage, the target and the ramp's
 * beginning go on (a ramp is where it would be had the new plan been there from the stage's beginning), dwells begin anew.
 *
 * @returns null when the new plan has no stage of that name
 */
export function carryOver(
  state: EngineState,
  before: Program,
  after: Program,
  now_s: number,
): CarriedOver | null {
  const stage = before.stages[state.stage]
  return stage === undefined ? null : carryInto(state, stage.name, after, now_s, stage)
}

/**
 * The same by the name of the stage, for a batch whose plan cannot be read any more: then its target has to be reached anew.
 *
 * @param before the stage as it was
 */
export function carryInto(
  state: EngineState,
  name: string,
  after: Program,
  now_s: number,
  before?: ProgramStage,
): CarriedOver | null {
  const stage = after.stages.findIndex(each => each.name === name)
  if (stage < 0) return null
  const isSameCourse = JSON.stringify(before?.course) === JSON.stringify(after.stages[stage]!.course)
  const tasks = new Set(after.stages[stage]!.tasks.map(task => task.name))
  const isOver = ({ about, subject }: Question) =>
    ASKED_ANEW.includes(about) || (about === 'task' && !tasks.has(subject))
  const withdrawn = state.questions.filter(isOver)
  return {
    state: {
      ...state,
      stage,
      reachedAt_s: isSameCourse ? state.reachedAt_s : null,
      hold: state.hold ? { ...state.hold, keeps_C: isSameCourse ? state.hold.keeps_C : null } : null,
      dwells: Array.from({ length: after.dwells }, () => ({ trueSince_s: null })),
      unknownSince_s: null,
      fallback: false,
      lateAt_s: null,
      questions: state.questions.filter(question => !withdrawn.includes(question)),
      declined: [],
      controller: { ...state.controller, stage: -1 },
    },
    events: withdrawn.map(question => ({ kind: 'answered', at_s: now_s, question, answer: 'withdrawn' })),
  }
}
