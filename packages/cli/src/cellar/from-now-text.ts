import { readCase } from '@attemper/core/batch/batch-case.ts'
import { momentOf } from '@attemper/core/batch/journal-line.ts'
import type { BatchTelling } from '@attemper/core/batch/telling.ts'
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { rehearseFromNow } from '@attemper/core/rehearsal/from-now.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { weekdayAndDate } from '@attemper/core/report/headline.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { carryOver } from '@attemper/server/live/carry-over.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { logText } from '../event-log.ts'
import { readyTelling } from './batch-telling.ts'

/** What a batch would do under a changed plan, rehearsed from its present state with everything as expected. */
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
  const setupOf = ({ case: { plan, vessel, beer } }: BatchTelling) =>
    prepare(
      plan,
      vessel,
      { ...beer, start: { ...beer.start, local_s: before.start_s } },
      { seed: 1, localOffset_s: record.localOffset_s },
    )
  const telling = readyTelling({ ...record, planText }, units)
  const present = { now_s, state: carried.state, gravity, beer_C }
  const { events, state: last, ended_s } = rehearseFromNow(setupOf(before), setupOf(telling), present)
  const told = events.filter(isWorthTelling)
  const end =
    last.batch === 'complete'
      ? `With the new plan and everything as expected, it is complete on ${weekdayAndDate(ended_s + record.localOffset_s)}:`
      : 'With the new plan and everything as expected, it does not come to an end by itself:'
  const lines = told.map(event => ({
    moment: momentOf(event.at_s * 1000, telling),
    sentence: sentenceFor(event, telling.case.context),
    topic: null,
  }))
  return [paragraph(end, width), ...(lines.length === 0 ? [] : ['', logText(lines, width)])].join('\n')
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
