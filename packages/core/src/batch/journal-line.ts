import type { Command, Edit } from '../engine/contract.ts'
import type { ApplianceName } from '../engine/events.ts'
import { sentenceFor } from '../report/sentences/sentence.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatDuration, formatGravity, formatMoment, formatTemperature } from '../units/format.ts'
import type { LinkProblem } from './appliance-link.ts'
import type { JournalEntry } from './journal.ts'
import { isRoutine, type LogLine, topicOf } from './log-line.ts'
import { byWhom, isNamed } from './named.ts'
import { sayClockSet } from './say-clock-set.ts'
import { sayProblem } from './say-link.ts'
import type { BatchTelling } from './telling.ts'

const SOFTWARE = 'attemper'
/** The decision that follows says all that this entry says. */
const THE_FLOAT = 'the float'

/** Whoever enters a reading at once need not be told when it was read. */
const EARLIER_ms = 10 * 60_000

/** What of a journal is told: everything that was decided and done; each switching and its commands on request. */
export function isTold(entry: JournalEntry, withSwitches: boolean): boolean {
  if (entry.kind === 'command') return withSwitches
  if (entry.kind === 'decision') return withSwitches || !isRoutine(entry.event)
  // What came of an edit or an answer stands in the decision that follows; who it was is only told of a person with a name.
  if (entry.kind === 'edit') {
    const isToldOf = entry.by !== THE_FLOAT && isNamed(entry.by)
    return entry.edit.kind === 'expect final gravity' || isToldOf
  }
  return entry.kind !== 'answer' || isNamed(entry.by)
}

/** What a person did, whoever it was; answers stand in the decisions that follow. */
export function isDoneBySomebody(entry: JournalEntry): boolean {
  return entry.kind === 'edit' && entry.by !== THE_FLOAT && entry.by !== SOFTWARE
}

export function journalLine(entry: JournalEntry, telling: BatchTelling): LogLine {
  return {
    moment: momentOf(entry.at_ms, telling),
    sentence: sentenceOf(entry, telling),
    topic: entry.kind === 'decision' ? topicOf(entry.event) : null,
  }
}

/** "day 3, 14:05" on the vessel's own clock. */
export function momentOf(at_ms: number, { record, start_s, case: { context } }: BatchTelling): string {
  return formatMoment(at_ms / 1000 + record.localOffset_s - start_s, start_s, context.units)
}

function sentenceOf(entry: JournalEntry, telling: BatchTelling): string {
  switch (entry.kind) {
    case 'decision':
      return sentenceFor(entry.event, telling.case.context)
    case 'command': {
      const { command } = entry
      const { fence, appliance, until_s } = command
      return `Command ${fence}: ${appliance} ${orderOf(command, telling)}, until ${momentOf(until_s * 1000, telling)}.`
    }
    case 'edit':
      return `${nameOf(entry.by)} ${doingOf(entry.edit, telling)}.`
    case 'answer':
      return `${nameOf(entry.by)} answered “${entry.answer}” to question ${entry.question}.`
    case 'note':
      return `Note${byWhom(entry.by)}: ${entry.text}`
    case 'read by hand': {
      const { gravity, instrument, read_ms } = entry
      const when = entry.at_ms - read_ms < EARLIER_ms ? '' : ` on ${momentOf(read_ms, telling)}`
      return `${nameOf(entry.by)} read a gravity of ${formatGravity(gravity, telling.case.context.units)} off the ${instrument}${when}.`
    }
    case 'plan changed':
      return `The rest of the plan was changed${byWhom(entry.by)}.`
    case 'overruled':
      return `Started against ${entry.findings.length === 1 ? 'an error' : `${entry.findings.length} errors`} of the proof-reader, because: ${entry.reason}`
    case 'gap':
      return `The software was away for ${formatDuration((entry.to_ms - entry.from_ms) / 1000)}.`
    case 'reach':
      return sayReach(entry.appliance, entry.problem, telling.case.context.units)
    case 'clock set':
      return sayClockSet(entry)
  }
}

/** An appliance that has not confirmed what it was told, or (`problem` null) does so again. */
export function sayReach(appliance: ApplianceName, problem: LinkProblem | null, units: DisplayUnits): string {
  if (problem === null) return `The ${appliance} has confirmed again what it was told.`
  const meanwhile =
    appliance === 'thermostat'
      ? 'it does what it does when it is unheard'
      : 'one that keeps its lease goes off when that lapses, and a plain relay may stay as it is'
  return `The ${appliance} has not confirmed what it was told (${sayProblem(problem, units)}). It is told again; until then ${meanwhile}.`
}

function orderOf(command: Command, { case: { context } }: BatchTelling): string {
  if (command.appliance !== 'thermostat') return command.on ? 'on' : 'off'
  return command.target_C === null ? 'off' : `at ${formatTemperature(command.target_C, context.units)}`
}

function nameOf(by: string): string {
  return isNamed(by) ? by : 'The brewer'
}

function doingOf(edit: Edit, { case: { context } }: BatchTelling): string {
  switch (edit.kind) {
    case 'start':
      return 'started the batch'
    case 'hold':
      return 'held the batch'
    case 'resume':
      return 'let the batch go on'
    case 'stop':
      return 'stopped the batch'
    case 'abort':
      return 'aborted the batch'
    case 'go to':
      return `sent the batch to ${edit.stage}`
    case 'restarted':
      return 'took the batch up again'
    case 'expect final gravity':
      return `expects a final gravity of ${formatGravity(edit.gravity, context.units)}`
    case 'original gravity':
      return `gave an original gravity of ${formatGravity(edit.gravity, context.units)}`
  }
}
