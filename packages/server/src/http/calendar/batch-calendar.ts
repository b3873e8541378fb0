import { createHash } from 'node:crypto'
import { formatClock, formatDate } from '@attemper/core/units/format.ts'
import type { BatchView } from '../../live/cellar.ts'
import type { ExpectedTransition } from '../http-app.ts'
import { type CalendarEvent, printCalendar } from './icalendar.ts'

/** A transition is a moment; in a calendar it needs a length to be seen. */
const SHOWN_s = 900

/** The calendar of a batch: its stage now, and the transitions that are expected. */
export function batchCalendar(view: BatchView, expected: readonly ExpectedTransition[]): string {
  const { batch, now_ms } = view
  const events: CalendarEvent[] = [
    {
      uid: uidOf(batch.id, 'start'),
      from_ms: batch.started_ms,
      duration_s: SHOWN_s,
      summary: `${batch.name}: started in ${batch.vessel}`,
      description: view.sentence,
    },
    ...expected.map((transition, index) => ({
      uid: uidOf(batch.id, `${transition.from}>${transition.to ?? ''}`, occurrence(expected, index)),
      from_ms: transition.at_ms,
      duration_s: SHOWN_s,
      summary: `${batch.name}: ${transition.to === null ? 'complete' : `${transition.from} → ${transition.to}`}${ASSUMED[transition.assumes ?? 'nothing'].title}`,
      description: sayWhen(transition, batch.localOffset_s),
    })),
  ]
  return printCalendar(`${batch.name} in ${batch.vessel}`, events, now_ms)
}

/** A plan may come by the same transition twice. */
function occurrence(expected: readonly ExpectedTransition[], index: number): number {
  const { from, to } = expected[index] ?? { from: '', to: null }
  return expected.slice(0, index).filter(one => one.from === from && one.to === to).length
}

function uidOf(batch: string, ...parts: readonly (string | number)[]): string {
  const text = JSON.stringify([batch, ...parts])
  return `${createHash('sha256').update(text).digest('hex').slice(0, 32)}@attemper.invalid`
}

/** How it is said what a forecast takes to happen first. */
const ASSUMED = {
  'resumed now': { title: ' (if resumed now)', text: 'The batch is held; this is if it is resumed now. ' },
  nothing: { title: '', text: '' },
} as const

function sayWhen({ earliest_ms, latest_ms, assumes }: ExpectedTransition, localOffset_s: number): string {
  const base = `${ASSUMED[assumes ?? 'nothing'].text}Expected from the readings so far; it moves with the beer.`
  if (earliest_ms === undefined || latest_ms === undefined) return base
  const say = (at_ms: number) => {
    const local_s = at_ms / 1000 + localOffset_s
    return `${formatDate(local_s)}, ${formatClock(local_s)}`
  }
  return `Between ${say(earliest_ms)} and ${say(latest_ms)} with nine chances in ten. ${base}`
}
