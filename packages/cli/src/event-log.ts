import { foldTopics, type LogLine, topicOf } from '@attemper/core/batch/log-line.ts'
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import type { SentenceContext } from '@attemper/core/report/sentences/context.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { formatMoment } from '@attemper/core/units/format.ts'

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

/** A log: the moment, then the sentence, wrapped behind it. What goes to and fro is folded. */
export function logText(lines: readonly LogLine[], width: number): string {
  const shown = foldTopics(lines)
  const column = Math.max(0, ...shown.map(({ moment }) => moment.length)) + 2
  return shown
    .map(({ moment, sentence }) => paragraph(sentence, width, moment.padEnd(column), ' '.repeat(column)))
    .join('\n')
}
