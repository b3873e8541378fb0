import type { EngineEvent, StageWhy } from '../../engine/events.ts'
import { UNFINISHED_BEER } from '../cautions.ts'
import type { SentenceContext } from './context.ts'

/** The batch as a whole: started, held, going on, over. */
export function sayBatch(
  event: Extract<EngineEvent, { readonly kind: 'batch' }>,
  context: SentenceContext,
): string {
  const why = event.why === '' ? '' : ` (${event.why})`
  switch (event.to) {
    case 'running':
      return event.from === 'held'
        ? `The batch goes on${why}.`
        : `The batch begins, by the plan “${context.plan.name}”.`
    case 'held':
      return `The batch is held in its stage${why}.`
    case 'complete':
      return `The plan “${context.plan.name}” is complete${sayLastStep(event.by)}.${context.plan.side === 'fermentation' ? ` ${UNFINISHED_BEER}` : ''}`
    case 'stopped':
      return `The batch is stopped${why}. Everything is off.`
    case 'aborted':
      return `The batch is aborted${why}. Everything is off.`
    case 'idle':
      return `The batch is idle${why}.`
  }
}

/** How the last stage ended. */
function sayLastStep(by: StageWhy | null): string {
  switch (by) {
    case 'condition':
      return ': the condition of its last stage has come true'
    case 'branch':
      return ': a branch has led to its end'
    case 'late':
      return ': its last stage has lasted its longest time'
    case 'fallback':
      return ': the fallback condition of its last stage has come true'
    case 'answer':
      return ': the brewer said yes'
    case 'start':
    case 'edit':
    case null:
      return ''
  }
}
