import type { EngineEvent } from '../engine/events.ts'
import { formatMoment } from '../units/format.ts'

/** The end of a replay, as far as the summary speaks about it. Times are seconds on the vessel's own clock. */
export interface ReplayEnd {
  readonly start_s: number
  readonly ended_s: number
  /** The stage that the plan was in; null: the plan was complete. */
  readonly stage: string | null
  readonly openQuestions: number
}

/** One sentence: what the plan would have done with the beer of the record. */
export function replaySummary(events: readonly EngineEvent[], end: ReplayEnd): string {
  const when = (at_s: number) => formatMoment(at_s - end.start_s, end.start_s).split(',')[0]!
  const moves = events.flatMap(event =>
    event.kind === 'stage' && event.from !== null ? [`${event.stage} on ${when(event.at_s)}`] : [],
  )
  const asked = events.filter(event => event.kind === 'asked').length
  const parts = [
    ...(moves.length === 0 ? [] : [`would have gone on to ${listed(moves)}`]),
    ...(asked === 0 ? [] : [`would have asked you ${asked === 1 ? 'once' : `${asked} times`}`]),
    end.stage === null
      ? `would have been complete on ${when(end.ended_s)}`
      : `would still have been in ${end.stage} when the record ends on ${when(end.ended_s)}`,
  ]
  const open =
    end.openQuestions === 0
      ? ''
      : `, with ${end.openQuestions === 1 ? 'a question' : `${end.openQuestions} questions`} still unanswered`
  return `With this record the plan ${listed(parts)}${open}.`
}

function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`
}
