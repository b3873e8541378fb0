import { evaluate } from './conditions.ts'
import type { Hold } from './contract.ts'
import { believed, type Draft } from './draft.ts'
import type { Answer, BatchState, Question, StageWhy } from './events.ts'
import { beginHold, endHold, forgetHold, hasCome, stageLastsUntil_s } from './hold.ts'
import { FALSE, TRUE, UNKNOWN } from './kleene.ts'
import type { ProgramStage } from './program.ts'
import { ask, withdraw } from './questions.ts'

/**
 * Third part of the pipeline: moves the batch through the plan. At most one transition is cleared in a call (IEC 60848:
 * a stage that has just become active is looked at in the next step), so a circle of stages can never spin within one
 * second.
 */
export function moveOn(draft: Draft, answers: readonly [Question, Answer][]): void {
  for (const [question, answer] of answers) takeAnswer(draft, question, answer)
  const { state, program } = draft
  const isOver = state.batch !== 'running' && state.batch !== 'held'
  const stage = program.stages[state.stage]
  if (isOver || !stage || state.stageSince_s === draft.now_s) return
  giveTasks(draft, stage)
  const mayMove = state.batch === 'running'
  if (lookAtBranches(draft, stage, mayMove)) return
  if (lookAtUntil(draft, stage, mayMove)) return
  lookAtLongestTime(draft, stage, mayMove)
}

/** Makes a stage the present one; `program.stages.length` is the end of the plan. */
export function enterStage(draft: Draft, number: number, why: StageWhy): void {
  const { program, state, now_s, events, scope } = draft
  const from = why === 'start' ? null : (program.stages[state.stage]?.name ?? null)
  withdraw(
    draft,
    ({ about, stage }) => stage === from && about !== 'task' && about !== 'no response' && about !== 'limit',
  )
  state.unknownSince_s = null
  state.fallback = false
  state.lateAt_s = null
  state.declined = []
  scope.lookAgain()
  if (number >= program.stages.length) {
    setBatch(draft, 'complete', 'the plan is done', why)
    return
  }
  const stage = program.stages[number]!
  state.from_C = keptTarget(draft) ?? believed(draft, program.beer)
  state.stage = number
  state.stageSince_s = now_s
  state.reachedAt_s = null
  state.dwells = state.dwells.map(() => ({ trueSince_s: null }))
  state.tasksGiven = []
  forgetHold(draft)
  events.push({ kind: 'stage', at_s: now_s, stage: stage.name, from, why })
  if (state.batch === 'held') setBatch(draft, 'running', 'moved on')
}

/** A ramp goes on from the target that the beer was kept at; after a free rise or a rest from control, from the beer itself. */
function keptTarget(draft: Draft): number | null {
  const course = draft.program.stages[draft.state.stage]?.course.kind
  return course === 'hold' || course === 'ramp' ? draft.state.target_C : null
}

export function setBatch(draft: Draft, to: BatchState, why: string, by: StageWhy | null = null): void {
  const from = draft.state.batch
  if (from === to) return
  if (to === 'running') endHold(draft)
  draft.state.batch = to
  draft.events.push({ kind: 'batch', at_s: draft.now_s, from, to, why, by })
  draft.scope.lookAgain()
}

/** Holds a batch that is running; one that is held already is held as it is. */
export function holdBatch(draft: Draft, by: Hold['by'], why: string): void {
  if (draft.state.batch !== 'running') return
  setBatch(draft, 'held', why)
  beginHold(draft, by)
}

function takeAnswer(draft: Draft, question: Question, answer: Answer): void {
  const { state, program } = draft
  if (question.about === 'task' && answer === 'yes') {
    if (!state.tasksDone.includes(question.subject)) state.tasksDone = [...state.tasksDone, question.subject]
    return
  }
  if (answer !== 'yes' || (state.batch !== 'running' && state.batch !== 'held')) return
  if (question.about === 'limit') setBatch(draft, 'running', 'the brewer says go on')
  const stage = program.stages[state.stage]
  if (!stage || stage.name !== question.stage) return
  switch (question.about) {
    case 'go on':
      enterStage(draft, stage.next, 'condition')
      break
    case 'branch': {
      const branch = stage.branches.find(each => nameOf(draft, each.next) === question.subject)
      if (branch) enterStage(draft, branch.next, 'branch')
      break
    }
    case 'late':
      enterStage(draft, stage.lateNext, 'answer')
      break
    case 'unknown':
      // Known again in the meantime: the plan goes on where it was held.
      if (state.unknownSince_s === null) setBatch(draft, 'running', 'the brewer says go on')
      else enterStage(draft, stage.next, 'answer')
      break
  }
}

const nameOf = (draft: Draft, number: number) => draft.program.stages[number]?.name ?? ''

function giveTasks(draft: Draft, stage: ProgramStage): void {
  const { state, now_s, events } = draft
  for (const { name, when, wait } of stage.tasks) {
    if (state.tasksGiven.includes(name)) {
      // 'Not yet' is no answer for ever: what is still to be done is put again.
      if (!state.tasksDone.includes(name)) ask(draft, 'task', stage.name, name, name)
      continue
    }
    if (when && evaluate(draft, when) !== TRUE) continue
    state.tasksGiven = [...state.tasksGiven, name]
    state.tasksDone = state.tasksDone.filter(each => each !== name)
    events.push({ kind: 'task', at_s: now_s, stage: stage.name, task: name, wait })
    ask(draft, 'task', stage.name, name, name)
  }
}

/** A task that must be answered holds the batch in its stage, also before it has been given. */
function isWaitingForTask(draft: Draft, stage: ProgramStage): boolean {
  for (const { name, wait } of stage.tasks) {
    if (!wait) continue
    const isDone = draft.state.tasksGiven.includes(name) && draft.state.tasksDone.includes(name)
    if (!isDone) return true
  }
  return false
}

function lookAtBranches(draft: Draft, stage: ProgramStage, mayMove: boolean): boolean {
  for (const { when, next, askFirst, question } of stage.branches) {
    if (evaluate(draft, when) !== TRUE || !mayMove || isWaitingForTask(draft, stage)) continue
    if (!askFirst) {
      enterStage(draft, next, 'branch')
      return true
    }
    ask(draft, 'branch', stage.name, question, nameOf(draft, next))
  }
  return false
}

function lookAtUntil(draft: Draft, stage: ProgramStage, mayMove: boolean): boolean {
  if (stage.until === null) return false
  const truth = evaluate(draft, stage.until)
  const instead = stage.instead === null ? FALSE : evaluate(draft, stage.instead)
  noteUnknown(draft, stage, truth === UNKNOWN)
  const isFallback = draft.state.fallback && truth === UNKNOWN && instead === TRUE
  if ((truth !== TRUE && !isFallback) || !mayMove || isWaitingForTask(draft, stage)) return false
  if (stage.askFirst) {
    ask(draft, 'go on', stage.name, stage.question, '')
    return false
  }
  enterStage(draft, stage.next, isFallback ? 'fallback' : 'condition')
  return true
}

function noteUnknown(draft: Draft, stage: ProgramStage, isUnknown: boolean): void {
  const { state, now_s, scope, events } = draft
  if (!isUnknown) {
    if (state.unknownSince_s !== null) {
      state.unknownSince_s = null
      state.fallback = false
      // A batch that was held for it stays held until the brewer says go on, so the question stays too.
      if (stage.ifUnknown !== 'hold' || state.batch !== 'held')
        withdraw(draft, question => question.about === 'unknown' && question.stage === stage.name)
    }
    return
  }
  if (stage.ifUnknown === null) return
  state.unknownSince_s ??= now_s
  const due_s = state.unknownSince_s + stage.unknownWait_s
  if (now_s < due_s) {
    scope.wake(due_s)
    return
  }
  if (!state.fallback) {
    state.fallback = true
    const after_s = now_s - state.unknownSince_s
    events.push({
      kind: 'unknown too long',
      at_s: now_s,
      stage: stage.name,
      after_s,
      response: stage.ifUnknown,
    })
    if (stage.ifUnknown === 'hold') holdBatch(draft, 'unknown', `the condition of "${stage.name}" is unknown`)
  }
  if (stage.ifUnknown !== 'use') ask(draft, 'unknown', stage.name, '', '')
}

function lookAtLongestTime(draft: Draft, stage: ProgramStage, mayMove: boolean): void {
  const { state, now_s, events } = draft
  if (stage.ifLate === null) return
  if (!hasCome(draft, stageLastsUntil_s(state, stage.atMost_s))) return
  const isFirst = state.lateAt_s === null
  if (isFirst) {
    state.lateAt_s = now_s
    const after_s = now_s - state.stageSince_s
    events.push({ kind: 'late', at_s: now_s, stage: stage.name, after_s, response: stage.ifLate })
  }
  const movesByItself = stage.ifLate === 'go on' || stage.ifLate === 'go to'
  if (movesByItself && mayMove && !isWaitingForTask(draft, stage)) {
    enterStage(draft, stage.lateNext, 'late')
    return
  }
  if (stage.ifLate === 'hold' && isFirst)
    holdBatch(draft, 'late', `"${stage.name}" has lasted longer than planned`)
  if (!movesByItself) ask(draft, 'late', stage.name, '', '')
}
