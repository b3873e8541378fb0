import type { ExpectedTransition, FromNowResult } from '@attemper/core/rehearsal/from-now-result.ts'
import { formatPercent } from '@attemper/core/units/format.ts'
import { type ClockKind, sayClock, sayDay } from '../../sentences/moment-words.ts'

const HOUR_s = 3600
/** What happens in fewer runs is not worth a line. */
const WORTH_SAYING = 0.15

export interface ExpectedLine {
  /** "Crash begins", or "The plan is complete". */
  readonly what: string
  /** "on Friday, about 14:00". */
  readonly when: string
  /** "between Thursday 20:00 and Saturday 03:00", with nine chances in ten; null: not known. */
  readonly between: string | null
  /** "in 40 % of the runs"; null: in all. */
  readonly share: string | null
}

/** What is still to come, each with when. `local_s`: now, on the vessel's clock. */
export function expectedLines(
  { transitions }: FromNowResult,
  local_s: number,
  clock: ClockKind,
): readonly ExpectedLine[] {
  return transitions
    .filter(({ share, hours }) => share >= WORTH_SAYING && hours.p50 !== null)
    .map(transition => lineOf(transition, local_s, clock))
}

function lineOf({ to, hours, share }: ExpectedTransition, local_s: number, clock: ClockKind): ExpectedLine {
  const at = (h: number) => local_s + h * HOUR_s
  const { p5, p50, p95 } = hours
  const isNear = (p95 ?? Number.POSITIVE_INFINITY) - (p5 ?? 0) < 36
  return {
    what: to === null ? 'The plan is complete' : `${to} begins`,
    when: isNear
      ? `${sayDay(at(p50!), local_s)}, about ${sayClock(roundedHour(at(p50!)), clock)}`
      : sayDay(at(p50!), local_s),
    between: p5 === null || p95 === null ? null : betweenWords(at(p5), at(p95), local_s, clock),
    share: share > 0.995 ? null : `in ${formatPercent(share)} of the runs`,
  }
}

function betweenWords(from_s: number, to_s: number, now_s: number, clock: ClockKind): string {
  const say = (at_s: number) => `${sayClock(roundedHour(at_s), clock)} ${sayDay(at_s, now_s)}`
  return `between ${say(from_s)} and ${say(to_s)}`
}

/** Nobody expects a minute. */
function roundedHour(local_s: number): number {
  return Math.round(local_s / 1800) * 1800
}

/** The forecast as one sentence, to be read out after how the batch stands. */
export function forecastSentence(result: FromNowResult, local_s: number): string {
  const plain = plainSentence(result, local_s)
  if (result.assumes !== 'resumed now' || plain === '') return plain
  return `If it is resumed now: ${plain.charAt(0).toLowerCase()}${plain.slice(1)}`
}

function plainSentence(result: FromNowResult, local_s: number): string {
  const { hours, share } = result.ready
  if (result.overTime.time_h.length <= 1) return ''
  if (hours.p50 === null) {
    return share === 0
      ? 'In no run does it come to the end of its plan by itself.'
      : `Only in ${formatPercent(share)} of the runs does it come to the end of its plan by itself.`
  }
  const at = (h: number) => local_s + h * HOUR_s
  const middle = sayDay(at(hours.p50), local_s)
  if (hours.p5 === null || hours.p95 === null) return `The plan is probably complete ${middle}.`
  const [earliest, latest] = [sayDay(at(hours.p5), local_s), sayDay(at(hours.p95), local_s)]
  return earliest === latest
    ? `The plan is probably complete ${middle}.`
    : `The plan is probably complete ${middle}; nine chances in ten: from ${bare(earliest)} to ${bare(latest)}.`
}

const bare = (day: string) => day.replace(/^on /, '')
