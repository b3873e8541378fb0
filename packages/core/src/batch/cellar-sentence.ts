import type { EngineState } from '../engine/contract.ts'
import type { Question } from '../engine/events.ts'

/** How a running batch stands, as far as it decides whether somebody is needed. */
export interface StandingBatch {
  readonly batch: { readonly name: string }
  readonly questions: readonly Question[]
  /** null: unknown. */
  readonly beer_C: number | null
  readonly state: EngineState
}

/** The whole cellar in one sentence: how much is going on, and which batches need a person. */
export function cellarSentence(vessels: number, running: readonly StandingBatch[]): string {
  if (vessels === 0) return 'The cellar is empty.'
  const where = vessels === 1 ? '' : ` in ${vessels} vessels`
  if (running.length === 0) return `No batch is running${where}.`
  const what = running.length === 1 ? 'One batch runs' : `${running.length} batches run`
  const needy = running.filter(needsSomebody).map(({ batch }) => batch.name)
  const need = `${needy.join(' and ')} ${needy.length === 1 ? 'needs' : 'need'} you`
  return `${what}${where}; ${needy.length === 0 ? (running.length === 1 ? 'it does not need you' : 'none of them needs you') : need}.`
}

export function needsSomebody({ questions, beer_C, state }: StandingBatch): boolean {
  return questions.length > 0 || beer_C === null || state.limitBroken !== null
}
