import { readCase } from '@attemper/core/batch/batch-case.ts'
import { carryOver } from '@attemper/core/batch/carry-over.ts'
import { momentOf } from '@attemper/core/batch/journal-line.ts'
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { prepareFromNow } from '@attemper/core/rehearsal/from-now.ts'
import { reduceFromNow } from '@attemper/core/rehearsal/reduce-from-now.ts'
import type { Quantiles } from '@attemper/core/rehearsal/result.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import { simulateFromNow } from '@attemper/core/rehearsal/run-from-now.ts'
import { setupUnderWay } from '@attemper/core/rehearsal/setup-under-way.ts'
import { weekdayAndDate } from '@attemper/core/report/headline.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { logText } from '../event-log.ts'
import { readyTelling } from './batch-telling.ts'

/** Not a second of waiting; enough for nine chances in ten. */
const RUNS = 30
const SEED = 1

/** What a batch would do under a changed plan, rehearsed from its present state: when everything is as expected, and how sure that is. */
export function fromNowText(view: BatchView, planText: string, units: DisplayUnits, width: number): string {
  const { batch: record, state, now_ms, gravity, beer_C } = view
  const before = readyTelling(record, units)
  const { batch: after } = readCase({ ...record, planText })
  const now_s = Math.floor(now_ms / 1000)
  const carried = after === null ? null : carryOver(state, before.case.program, after.program, now_s)
  if (after === null || carried === null) {
    return paragraph(
      `The batch is in ${view.stage}, which the new plan does not have, so it can not be rehearsed from now.`,
      width,
    )
  }
  const started_s = state.startedAt_s ?? now_s
  const telling = readyTelling({ ...record, planText }, units)
  const present = { now_s, state: carried.state, gravity, beer_C }
  const from = prepareFromNow(
    setupUnderWay(before.case, started_s),
    setupUnderWay(telling.case, started_s),
    present,
    SEED,
  )
  const nominal = simulateFromNow(from, NOMINAL_RUN, { keepEvents: true })
  const runs = Array.from({ length: RUNS }, (_, run) => simulateFromNow(from, run + 1))
  const { ready, assumes } = reduceFromNow(from, [nominal, ...runs])
  const told = nominal.events!.filter(isWorthTelling)
  const localNow_s = now_s + record.localOffset_s
  const given = assumes === 'resumed now' ? 'With the new plan, resumed now and' : 'With the new plan and'
  const end =
    ready.nominal_h === null
      ? `${given} everything as expected, it does not come to an end by itself:`
      : `${given} everything as expected, it is complete on ${dayAfter(localNow_s, ready.nominal_h)}${between(localNow_s, ready.hours)}:`
  const lines = told.map(event => ({
    moment: momentOf(event.at_s * 1000, telling),
    sentence: sentenceFor(event, telling.case.context),
    topic: null,
  }))
  return [paragraph(end, width), ...(lines.length === 0 ? [] : ['', logText(lines, width)])].join('\n')
}

function dayAfter(localNow_s: number, hours: number): string {
  return weekdayAndDate(localNow_s + hours * 3600)
}

function between(localNow_s: number, { p5, p95 }: Quantiles): string {
  if (p5 === null || p95 === null) return ''
  const [earliest, latest] = [dayAfter(localNow_s, p5), dayAfter(localNow_s, p95)]
  if (earliest === latest) return ', with nine chances in ten on that day'
  return `, with nine chances in ten between ${earliest} and ${latest}`
}

/** What a brewer wants to know beforehand: transitions, questions, what comes late or breaks a limit. */
function isWorthTelling({ kind }: EngineEvent): boolean {
  return [
    'batch',
    'stage',
    'asked',
    'task',
    'late',
    'unknown too long',
    'limit broken',
    'no response',
  ].includes(kind)
}
