import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { ApplianceName, EngineEvent } from '@attemper/core/engine/events.ts'

export type SwitchEvent = Extract<EngineEvent, { readonly kind: 'switched' | 'withheld' | 'thermostat set' }>

/** What was last decided about an appliance, as the journal tells it. */
export interface LastSwitching {
  /** The latest switching, withholding or setting; null: none, or the software has been away since. */
  readonly event: SwitchEvent | null
  /** When the software came back after that; null: it was not away. */
  readonly restartedAt_ms: number | null
  /** It came back, or only its clock was set. */
  readonly restartedBy: 'software' | 'clock'
  readonly leaseUntil_s: number | null
}

export const NEVER_SWITCHED: LastSwitching = {
  event: null,
  restartedAt_ms: null,
  restartedBy: 'software',
  leaseUntil_s: null,
}

/** Follows one appliance through the journal, entry by entry. */
export function followSwitching(
  last: LastSwitching,
  appliance: ApplianceName,
  entry: JournalEntry,
): LastSwitching {
  if (entry.kind === 'command') {
    const { command } = entry
    if (command.appliance !== appliance) return last
    const isOff = command.appliance === 'thermostat' ? command.target_C === null : !command.on
    return { ...last, leaseUntil_s: isOff ? null : command.until_s }
  }
  if (entry.kind === 'edit' && entry.edit.kind === 'restarted') {
    // A thermostat is told its target again, and nothing has been decided anew.
    if (appliance === 'thermostat') return last
    return { ...last, event: null, restartedAt_ms: entry.at_ms, leaseUntil_s: null }
  }
  if (entry.kind === 'clock set') return { ...last, restartedBy: entry.wasAway ? 'software' : 'clock' }
  if (entry.kind === 'gap') return { ...last, restartedBy: 'software' }
  if (entry.kind !== 'decision') return last
  const { event } = entry
  if (event.kind === 'thermostat set') return appliance === 'thermostat' ? { ...last, event } : last
  if ((event.kind !== 'switched' && event.kind !== 'withheld') || event.appliance !== appliance) return last
  return { ...last, event, restartedAt_ms: null }
}
