import { carryOver } from '@attemper/core/batch/carry-over.ts'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { AnswerInput, Edit } from '@attemper/core/engine/contract.ts'
import type { BatchState, Question } from '@attemper/core/engine/events.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { BatchKeeper } from './batch-keeper.ts'
import { CellarError, type HandReading } from './cellar.ts'
import { errorsIn, judge, lineOf } from './judge.ts'
import { rehearseShortly } from './short-rehearsal.ts'

/**
 * What a brewer does to a running batch. Each is written down together with what the engine makes of it, before any
 * command goes out; when it can not be written down it is done all the same, and the brewer is told so.
 */

export function answer(keeper: BatchKeeper, question: number, given: 'yes' | 'not yet', by: string): void {
  const { questions } = keeper.state
  if (!questions.some(({ id }) => id === question)) throw noSuchQuestion(keeper, question, questions)
  const input: AnswerInput = { question, answer: given }
  const entry: JournalEntry = { kind: 'answer', at_ms: keeper.now_s * 1000, question, answer: given, by }
  told(keeper, keeper.call({ answers: [input], entries: [entry] }))
}

function noSuchQuestion(keeper: BatchKeeper, question: number, open: readonly Question[]): CellarError {
  const list =
    open.length === 0
      ? 'No question is open'
      : `Open ${open.length === 1 ? 'is' : 'are'} ${open.map(({ id }) => id).join(', ')}`
  const message = `Question ${question} of ${keeper.record.id} is not open (any more). ${list}.`
  return new CellarError('unknown-question', message)
}

type BrewersEdit = Extract<Edit, { readonly kind: 'hold' | 'resume' | 'stop' | 'abort' }>

/** The states in which each of them does something. */
const FITS: Record<BrewersEdit['kind'], readonly BatchState[]> = {
  hold: ['running'],
  resume: ['held'],
  stop: ['running', 'held', 'complete'],
  abort: ['running', 'held', 'complete'],
}

export function edit(keeper: BatchKeeper, kind: BrewersEdit['kind'], by: string): void {
  const { batch } = keeper.state
  if (!FITS[kind].includes(batch)) {
    const message = `${keeper.record.id} is ${batch}; “${kind}” is for a batch that is ${FITS[kind].join(' or ')}.`
    throw new CellarError('not-running', message)
  }
  put(keeper, { kind }, by)
}

export function goTo(keeper: BatchKeeper, stage: string, by: string): void {
  requireActive(keeper, 'moved to another stage')
  const { stages } = keeper.case.program
  if (!stages.some(({ name }) => name === stage)) {
    const list = stages.map(({ name }) => name).join(', ')
    throw new CellarError('unknown-stage', `The plan has no stage “${stage}”; there are: ${list}.`)
  }
  put(keeper, { kind: 'go to', stage }, by)
}

/** An original gravity that was measured by hand. */
export function originalGravity(keeper: BatchKeeper, gravity: number, by: string): void {
  requireActive(keeper, 'given an original gravity')
  const { program } = keeper.case
  const final = keeper.state.finalGravity ?? program.finalGravity
  if (gravity <= final || gravity > HIGHEST_SG) {
    const message =
      `The original gravity of ${keeper.record.id} can not be ${gravity.toFixed(3)}: ` +
      `it lies above the expected final gravity of ${final.toFixed(3)}, and up to ${HIGHEST_SG.toFixed(3)}.`
    throw new CellarError('wrong-value', message)
  }
  put(keeper, { kind: 'original gravity', gravity }, by)
}

/** No wort is heavier (beer/beer-shape.ts). */
const HIGHEST_SG = 1.2

/**
 * Takes over a changed plan in the same stage. Refused when it has errors, or does not know the present stage. Findings name
 * what a short rehearsal of the changed plan, from pitching on, has met.
 */
export function changePlan(
  keeper: BatchKeeper,
  planText: string,
  by: string,
): { readonly findings: readonly Finding[] } {
  requireActive(keeper, 'given another plan')
  const { vesselText, beerText, localOffset_s } = keeper.record
  const { batch, findings } = judge({ planText, vesselText, beerText, localOffset_s })
  const errors = errorsIn(findings)
  if (batch === null || errors.length > 0) {
    const message = `The changed plan has errors, so the batch goes on with the old one: ${errors.map(lineOf).join(' ')}`
    throw new CellarError('has-errors', message, findings)
  }
  const { now_s } = keeper
  const carried = carryOver(keeper.state, keeper.case.program, batch.program, now_s)
  if (carried === null) {
    const present = keeper.case.program.stages[keeper.state.stage]?.name ?? ''
    const list = batch.program.stages.map(({ name }) => name).join(', ')
    const message =
      `The batch is in “${present}”, which the changed plan does not have; it has: ${list}. ` +
      'Keep the name of the present stage, or move the batch on first.'
    throw new CellarError('unknown-stage', message, findings)
  }
  const at_ms = now_s * 1000
  const entries: JournalEntry[] = [
    { kind: 'plan changed', at_ms, by, planText },
    ...carried.events.map(event => ({ kind: 'decision' as const, at_ms, event })),
  ]
  const rehearsed = rehearseShortly(batch, keeper.state.startedAt_s ?? now_s)
  told(keeper, keeper.takeOver(planText, batch, carried.state, entries))
  return { findings: [...findings, ...rehearsed] }
}

export function note(keeper: BatchKeeper, what: string | HandReading, by: string): void {
  told(keeper, keeper.write([noteOf(what, keeper.now_s * 1000, by)]))
}

/** What somebody wrote down, or read off an instrument. */
export function noteOf(what: string | HandReading, at_ms: number, by: string): JournalEntry {
  return typeof what === 'string'
    ? { kind: 'note', at_ms, text: what, by }
    : { kind: 'read by hand', at_ms, ...what, by }
}

function requireActive(keeper: BatchKeeper, what: string): void {
  const { batch } = keeper.state
  if (batch === 'running' || batch === 'held') return
  throw new CellarError('not-running', `${keeper.record.id} is ${batch}, so it can not be ${what}.`)
}

function put(keeper: BatchKeeper, given: Edit, by: string): void {
  const entry: JournalEntry = { kind: 'edit', at_ms: keeper.now_s * 1000, edit: given, by }
  told(keeper, keeper.call({ edits: [given], entries: [entry] }))
}

function told(keeper: BatchKeeper, isSaved: boolean): void {
  if (isSaved) return
  const message =
    `Done, but it could not be written down: ${keeper.record.id} would not remember it if the software stopped now. ` +
    'It is written as soon as there is room on the disk.'
  throw new CellarError('storage', message)
}
