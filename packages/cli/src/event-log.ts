import type { EngineEvent } from '@attemper/core/engine/events.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { sayReasons } from '@attemper/core/plan/reasons.ts'
import type { SentenceContext } from '@attemper/core/report/sentences/context.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatMoment } from '@attemper/core/units/format.ts'
import { silenceAllowed_s } from '@attemper/core/vessel/timeout.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'

/** What the sentences about a batch of this plan in this vessel need to know. */
export function sentenceContext(plan: Plan, vessel: Vessel, units: DisplayUnits): SentenceContext {
  return {
    units,
    plan,
    reasons: sayReasons(plan, units),
    silenceAllowed_s: Object.fromEntries(
      vessel.instruments.map(instrument => [instrument.name, silenceAllowed_s(instrument)]),
    ),
    unitOf: Object.fromEntries(
      vessel.instruments.flatMap(({ channels }) => channels.map(({ quantity, unit }) => [quantity, unit])),
    ),
  }
}

/** Switchings, and what an interlock held back: right for a controller, and far too many to be read. */
export function isRoutine(event: EngineEvent): boolean {
  return event.kind === 'switched' || event.kind === 'withheld'
}

/**
 * Decisions as lines: the moment, then the sentence, wrapped behind it. What goes to and fro without anything else
 * happening between is said twice, and then counted. `start_s` is local, as `at_s` of the events is.
 */
export function eventLines(
  events: readonly EngineEvent[],
  context: SentenceContext,
  start_s: number,
  width: number,
): string {
  const momentOf = (event: EngineEvent) => formatMoment(event.at_s - start_s, start_s)
  const lines: (readonly [string, string])[] = []
  for (let from = 0; from < events.length; ) {
    const to = endOfTopic(events, from)
    const shown = to - from > MOST_OF_A_TOPIC ? 2 : to - from
    for (const event of events.slice(from, from + shown)) {
      lines.push([momentOf(event), sentenceFor(event, context)])
    }
    if (from + shown < to) {
      const last = events[to - 1]!
      lines.push([
        momentOf(last),
        `After ${to - from - shown - 1} more changes of the same kind: ${sentenceFor(last, context)}`,
      ])
    }
    from = to
  }
  const column = Math.max(0, ...lines.map(([moment]) => moment.length)) + 2
  return lines
    .map(([moment, sentence]) => paragraph(sentence, width, moment.padEnd(column), ' '.repeat(column)))
    .join('\n')
}

const MOST_OF_A_TOPIC = 4

/** Where the unbroken row of events about the same thing ends that begins at `from`. */
function endOfTopic(events: readonly EngineEvent[], from: number): number {
  const topic = topicOf(events[from]!)
  let to = from + 1
  while (topic !== null && to < events.length && topicOf(events[to]!) === topic) to += 1
  return to
}

/** What an event is about, for those that can go to and fro. */
function topicOf(event: EngineEvent): string | null {
  switch (event.kind) {
    case 'disagree':
    case 'agree':
      return `agreement ${event.quantity} ${event.instruments.join(' ')}`
    case 'limit broken':
    case 'limit kept':
      return `limit ${event.limit}`
    case 'instrument lost':
    case 'instrument back':
      return `instrument ${event.instrument} ${event.quantity}`
    default:
      return null
  }
}
