import { HttpProblem } from '../errors.ts'
import { readMoment } from '../moment.ts'

const DAY_ms = 86_400_000

/** The span of time that was asked for; left out: the last 24 hours. */
export function readSpan(query: { readonly from?: string; readonly to?: string }, now_ms: number) {
  // `to` is not included, the reading of this very moment shall be.
  const to_ms = query.to === undefined ? now_ms + 1 : readMoment(query.to, 'to')
  const from_ms = query.from === undefined ? to_ms - DAY_ms : readMoment(query.from, 'from')
  if (from_ms < to_ms) return { from_ms, to_ms }
  throw new HttpProblem('wrong-value', '/from is not before /to.', {
    cure: 'Give the earlier moment as “from”, the later one as “to”.',
  })
}
