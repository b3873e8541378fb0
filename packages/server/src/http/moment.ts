import { EARLIEST_MS } from '../live/check-report.ts'
import { HttpProblem } from './errors.ts'

/** A moment in a query or a body: RFC 3339 with its offset, or milliseconds since 1970. */
const RFC3339 = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(?::\d{2}(?:\.\d{1,9})?)?(?:Z|[+-]\d{2}:\d{2})$/

/** From 1800, as far back as readings are kept, to 2200: outside it is a slip in the unit. */
const LATEST_ms = 7_258_118_400_000

/** Milliseconds since 1970. `where` is the name of the member, for the message. */
export function readMoment(text: string, where: string): number {
  // A plus sign that was not written as %2B comes out of a query as a space.
  const written = text
    .replace(/ (?=\d{2}:\d{2}$)/, '+')
    .replace(' ', 'T')
    .toUpperCase()
  const at_ms = /^-?\d{1,15}$/.test(text)
    ? Number(text)
    : RFC3339.test(written)
      ? Date.parse(written)
      : Number.NaN
  if (at_ms >= EARLIEST_MS && at_ms <= LATEST_ms) return at_ms
  throw new HttpProblem('wrong-value', `/${where} is not a moment: “${text.slice(0, 40)}”.`, {
    cure: 'Write it like 2026-11-24T20:15:00Z or 2026-11-24T21:15+01:00, or as milliseconds since 1970-01-01T00:00Z.',
  })
}
