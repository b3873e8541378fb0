import type { LocalDateTime } from '../plan/plan.ts'
import type { RehearsalResult } from '../rehearsal/result.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatClock, formatDate, formatPercent } from '../units/format.ts'
import { couldStill, LEAST_RUNS, sayBound } from './enough-runs.ts'
import { riskPhrase } from './risk-phrase.ts'

/**
 * The one sentence that a brewer could read out over the telephone: when it will be ready, and what could go wrong. After too
 * few runs it says how many there are, and no verdict.
 */
export function headline(
  result: RehearsalResult,
  start: LocalDateTime,
  units: Pick<DisplayUnits, 'clock'> = {},
): string {
  if (result.runs < LEAST_RUNS) return `${fewRuns(result)}${failedDrills(result)}.`
  return `${readiness(result, start, units)}; ${biggestRisk(result)}${failedDrills(result)}.`
}

/** A risk whose model is weakly founded leads no sentence. */
const leading = ({ risks }: RehearsalResult) => risks.find(({ weaklyFounded }) => !weaklyFounded)

const nothing = ({ risks }: RehearsalResult) => (risks.length === 0 ? 'nothing' : 'nothing else')

function fewRuns(result: RehearsalResult): string {
  const { runs } = result
  const only = `Only ${runs === 1 ? 'one run' : `${runs} runs`}, too few for a verdict`
  const risk = leading(result)
  if (risk === undefined) {
    return `${only}: ${nothing(result)} went wrong so far, but in up to ${sayBound(couldStill(runs))} of all runs it could`
  }
  return `${only}: so far ${riskPhrase(risk)} in ${Math.round(risk.share * runs)} of them`
}

const WEEKDAYS = ['Thursday', 'Friday', 'Saturday', 'Sunday', 'Monday', 'Tuesday', 'Wednesday']
const DAY_s = 86_400

/** "Saturday 19 December 2026", from seconds since 1970-01-01T00:00 (a Thursday) on a local clock. */
export function weekdayAndDate(local_s: number): string {
  const day = Math.floor(local_s / DAY_s)
  return `${WEEKDAYS[((day % 7) + 7) % 7]} ${formatDate(local_s)}`
}

function readiness(
  result: RehearsalResult,
  start: LocalDateTime,
  units: Pick<DisplayUnits, 'clock'>,
): string {
  const goal = result.side === 'hot side' ? 'done' : 'ready to package'
  const { hours, share } = result.ready
  if (hours.p50 === null) {
    const horizon = spread([result.horizon_h]).of(result.horizon_h)
    return share === 0
      ? `Not ${goal} after ${horizon} in any run`
      : `Probably never ${goal} by itself: only ${formatPercent(share)} of runs came to the end within ${horizon}`
  }
  const { p5, p50, p95 } = hours
  const scale = spread([p5, p50, p95].filter(each => each !== null))
  const at_s = start.local_s + p50 * 3600
  const day = weekdayAndDate(at_s)
  const when = p50 < 48 ? `at ${formatClock(at_s, units)} on ${day}` : `on ${day}`
  const moment = `after ${scale.of(p50)} (${interval(p5, p95, share, scale)}), ${when}`
  return isMostlyUnfinished(result)
    ? `Not ready to package when the plan is over, ${moment}: in most runs the beer has not finished by then`
    : `Probably ${goal} ${moment}`
}

/** The end of a plan is no reason to package: a beer that stops short of its final gravity goes on in the bottle. */
function isMostlyUnfinished({ risks, ready }: RehearsalResult): boolean {
  const unfinished = risks.find(({ code }) => code === 'final-gravity-not-reached')
  return unfinished !== undefined && unfinished.share > 0.5 * ready.share
}

function interval(p5: number | null, p95: number | null, share: number, scale: Scale): string {
  const never = share < 0.995 ? `; in ${formatPercent(1 - share)} of runs never` : ''
  if (p5 === null) return `in ${formatPercent(1 - share)} of runs never`
  if (p95 === null) return `hardly ever before ${scale.of(p5)}${never}`
  const [from, to] = [scale.number(p5), scale.number(p95)]
  return from === to ? `nearly always about that${never}` : `90 % of runs between ${from} and ${to}${never}`
}

interface Scale {
  number(hours: number): string
  of(hours: number): string
}

/** Minutes, hours or days, with as many digits as the spread of the values is worth. */
function spread(hours: readonly number[]): Scale {
  const longest = Math.max(...hours)
  const [length_h, word] = longest < 3 ? [1 / 60, 'minute'] : longest < 72 ? [1, 'hour'] : [24, 'day']
  const width = (longest - Math.min(...hours)) / length_h
  const digits = hours.length > 1 && width < 2 && length_h >= 1 ? 1 : 0
  const number = (value: number) => (value / length_h).toFixed(digits)
  return { number, of: value => `${number(value)} ${word}${number(value) === '1' ? '' : 's'}` }
}

function biggestRisk(result: RehearsalResult): string {
  const risk = leading(result)
  if (risk === undefined) {
    return `${nothing(result)} went wrong in any of ${result.runs} runs (up to ${sayBound(couldStill(result.runs))} could)`
  }
  return `the biggest risk is that ${riskPhrase(risk)} (in ${smallShare(risk.share)} of runs)`
}

/** A share that is not nought is not said as "0 %". */
export function smallShare(share: number): string {
  if (share > 0 && share < 0.005) return 'under 1 %'
  return share < 1 && share > 0.995 ? 'over 99 %' : formatPercent(share)
}

function failedDrills(result: RehearsalResult): string {
  const tried = result.drills.filter(drill => drill.verdict !== 'not applicable')
  const failed = tried.filter(drill => drill.verdict === 'failed')
  if (failed.length === 0) return ''
  return `; ${failed.length} of ${tried.length} drills failed (${failed.map(drill => inSentence(drill.title)).join(', ')})`
}

/** A title that begins with an article, inside of a sentence. */
function inSentence(title: string): string {
  return title.replace(/^(The|An?) /, article => article.toLowerCase())
}
