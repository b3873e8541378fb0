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

/** A line of a log before it is laid out. Lines of the same topic in a row can be folded. */
export interface LogLine {
  readonly moment: string
  readonly sentence: string
  readonly topic: string | null
}

/** `start_s` is local, as `at_s` of the events is. */
export function eventLines(
  events: readonly EngineEvent[],
  context: SentenceContext,
  start_s: number,
  width: number,
): string {
  const lines = events.map(event => ({
    moment: formatMoment(event.at_s - start_s, start_s),
    sentence: sentenceFor(event, context),
    topic: topicOf(event),
  }))
  return logText(lines, width)
}

/**
 * A log: the moment, then the sentence, wrapped behind it. What goes to and fro without anything else happening between
 * is said twice, and then counted.
 */
export function logText(lines: readonly LogLine[], width: number): string {
  const shown: (readonly [string, string])[] = []
  for (let from = 0; from < lines.length; ) {
    const to = endOfTopic(lines, from)
    const kept = to - from > MOST_OF_A_TOPIC ? 2 : to - from
    for (const { moment, sentence } of lines.slice(from, from + kept)) shown.push([moment, sentence])
    if (from + kept < to) {
      const last = lines[to - 1]!
      shown.push([
        last.moment,
        `After ${to - from - kept - 1} more changes of the same kind: ${last.sentence}`,
      ])
    }
    from = to
  }
  const column = Math.max(0, ...shown.map(([moment]) => moment.length)) + 2
  return shown
    .map(([moment, sentence]) => paragraph(sentence, width, moment.padEnd(column), ' '.repeat(column)))
    .join('\n')
}

const MOST_OF_A_TOPIC = 4

/** Where the unbroken row of lines about the same thing ends that begins at `from`. */
function endOfTopic(lines: readonly LogLine[], from: number): number {
  const { topic } = lines[from]!
  let to = from + 1
  while (topic !== null && to < lines.length && lines[to]!.topic === topic) to += 1
  return to
}

/** What an event is about, for those that can go to and fro. */
export function topicOf(event: EngineEvent): string | null {
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
