import type { EngineEvent } from '../engine/events.ts'

/** A line of a log before it is laid out. Lines of the same topic in a row can be folded. */
export interface LogLine {
  readonly moment: string
  readonly sentence: string
  readonly topic: string | null
}

/** Switchings, targets of a thermostat, and what an interlock held back: right for a controller, and far too many to be read. */
export function isRoutine(event: EngineEvent): boolean {
  return event.kind === 'switched' || event.kind === 'withheld' || event.kind === 'thermostat set'
}

const MOST_OF_A_TOPIC = 4

/** What goes to and fro without anything else happening between is said twice, and then counted. */
export function foldTopics<Line extends LogLine>(lines: readonly Line[]): readonly Line[] {
  const shown: Line[] = []
  for (let from = 0; from < lines.length; ) {
    const to = endOfTopic(lines, from)
    const kept = to - from > MOST_OF_A_TOPIC ? 2 : to - from
    shown.push(...lines.slice(from, from + kept))
    if (from + kept < to) {
      const last = lines[to - 1]!
      const folded = to - from - kept - 1
      shown.push({ ...last, sentence: `After ${folded} more changes of the same kind: ${last.sentence}` })
    }
    from = to
  }
  return shown
}

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
    case 'stuck':
    case 'moves again':
      return `stuck ${event.instrument} ${event.quantity}`
    case 'instrument lost':
    case 'instrument back':
      return `instrument ${event.instrument} ${event.quantity}`
    default:
      return null
  }
}
