import type { Ending } from '@attemper/core/batch/batch-sentence.ts'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { SentenceContext } from '@attemper/core/report/sentences/context.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import { formatTemperature } from '@attemper/core/units/format.ts'
import { followSwitching, type LastSwitching, NEVER_SWITCHED } from './last-switching.ts'
import { sayTime } from './say-time.ts'

interface Telling {
  readonly context: SentenceContext
  readonly localOffset_s: number
  /** Left out: it is. */
  readonly isBeerKnown?: boolean
}

/** Why an appliance is on or off now, or set as it is: what was last decided about it, as long as that still stands. */
export function whyNow(
  state: EngineState,
  appliance: ApplianceName,
  last: LastSwitching,
  telling: Telling,
): string {
  const { event } = last
  if (appliance === 'thermostat') {
    if (event !== null) return sayLast(last, telling)
    return `Thermostat off: ${sayNotWanted(state, telling)}.`
  }
  const { on, withheld } = state[appliance]
  const isWithheld = event?.kind === 'withheld'
  // What was held back and is not wanted any more is simply off; the engine does not say that again.
  if (
    event !== null &&
    (isWithheld ? !on && withheld !== null : event.kind === 'switched' && event.on === on)
  ) {
    return sayLast(last, telling)
  }
  return `${capital(appliance)} off${sinceRestart(last, telling)}: ${sayNotWanted(state, telling)}.`
}

/** Of a batch that has ended: everything was switched off then, whatever was said of it before. */
export function whyEnded(appliance: ApplianceName, { at_s }: Ending, { localOffset_s }: Telling): string {
  return `${capital(appliance)} off since the batch ended ${sayTime(at_s + localOffset_s)}.`
}

/** Why an appliance was on or off at a time: from the journal's entries up to then. */
export function whyThen(entries: Iterable<JournalEntry>, appliance: ApplianceName, telling: Telling): string {
  let last = NEVER_SWITCHED
  for (const entry of entries) last = followSwitching(last, appliance, entry)
  if (last.event !== null) return sayThen(last, telling)
  return last.restartedAt_ms === null
    ? `${capital(appliance)} off: until then nothing had asked for it.`
    : `${capital(appliance)} off${sinceRestart(last, telling)}: nothing had asked for it since then.`
}

function sayLast(last: LastSwitching, { context, localOffset_s }: Telling): string {
  const { event, leaseUntil_s } = last
  const time = sayTime(event!.at_s + localOffset_s)
  const isOn =
    (event!.kind === 'switched' && event!.on) || (event!.kind === 'thermostat set' && event!.set_C !== null)
  const lease =
    isOn && leaseUntil_s !== null
      ? ` Unless it is renewed, the command lapses ${sayTime(leaseUntil_s + localOffset_s)}.`
      : ''
  return `${sentenceFor(event!, context)} This was decided ${time}.${lease}`
}

/** What was so at a time of the past, with its date before it. */
function sayThen({ event }: LastSwitching, { context, localOffset_s }: Telling): string {
  const time = sayTime(event!.at_s + localOffset_s)
  return `Decided ${time}, and so it stood then: ${sentenceFor(event!, context)}`
}

function sinceRestart({ restartedAt_ms, restartedBy }: LastSwitching, { localOffset_s }: Telling): string {
  if (restartedAt_ms === null) return ''
  const what = restartedBy === 'clock' ? "the machine's clock was set" : 'the software came back'
  return ` since ${what} ${sayTime(restartedAt_ms / 1000 + localOffset_s)}`
}

function sayNotWanted(state: EngineState, { context, isBeerKnown = true }: Telling): string {
  if (state.batch !== 'running' && state.batch !== 'held' && state.batch !== 'complete') {
    return 'the batch is not running'
  }
  if (!isBeerKnown) return 'nobody knows how warm the beer is'
  return state.target_C === null
    ? 'nothing asks for it'
    : `nothing asks for it while the target is ${formatTemperature(state.target_C, context.units)}`
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
