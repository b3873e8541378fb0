import type { Command } from './contract.ts'
import { type Draft, partOf } from './draft.ts'
import type { SwitchedName } from './events.ts'
import type { ProgramThermostat } from './program.ts'
import { presentStage } from './target.ts'

/**
 * Last part of the pipeline: says to each appliance what has changed, and renews the lease of one that is on when half of
 * it has passed, so that a single lost command does not matter. Off needs no renewal: it is where an appliance falls back
 * to by itself.
 */
export function commands(draft: Draft, before: Before): readonly Command[] {
  const list: Command[] = []
  // Off before on: the two may sit on one device, which obeys in this order.
  const order = draft.state.heater.on ? COOLER_FIRST : HEATER_FIRST
  for (const name of order) {
    const was = name === 'heater' ? before.wasHeating : before.wasCooling
    if (partOf(draft.program, name) !== null) command(draft, name, was, before, list)
  }
  if (draft.program.thermostat !== null) targetCommand(draft, draft.program.thermostat, before, list)
  return list
}

const HEATER_FIRST = ['heater', 'cooler'] as const
const COOLER_FIRST = ['cooler', 'heater'] as const

/** What the appliances were told before this step. */
interface Before {
  readonly wasHeating: boolean
  readonly wasCooling: boolean
  readonly wasSet_C: number | null
  /** They may do something else than they were told last, so each is told again: one could run on until its lease lapses. */
  readonly mayDiffer: boolean
}

function command(
  draft: Draft,
  appliance: SwitchedName,
  was: boolean,
  { mayDiffer }: Before,
  list: Command[],
): void {
  const { state, now_s, scope, program } = draft
  const { on, leaseUntil_s } = partOf(state, appliance)
  const { lease_s } = program.interlocks
  const renewal_s = renewalOf(leaseUntil_s, lease_s, now_s)
  if (!mayDiffer && on === was && (!on || now_s < renewal_s)) {
    if (on) scope.renew(renewal_s)
    return
  }
  const until_s = now_s + lease_s
  state.fence++
  list.push({ appliance, on, until_s, fence: state.fence })
  if (!on) return
  if (appliance === 'heater') state.heater = { ...state.heater, leaseUntil_s: until_s }
  else state.cooler = { ...state.cooler, leaseUntil_s: until_s }
  scope.renew(until_s - Math.ceil(lease_s / 2))
}

/** As for what is switched; but "off" is renewed too, during a batch, for one that would not go off by itself. */
function targetCommand(
  draft: Draft,
  { keepsTarget }: ProgramThermostat,
  { wasSet_C, mayDiffer }: Before,
  list: Command[],
): void {
  const { state, now_s, scope, program } = draft
  const thermostat = state.thermostat!
  const { set_C, leaseUntil_s } = thermostat
  const isRenewed = set_C !== null || (keepsTarget && presentStage(draft) !== null)
  const half_s = Math.ceil(program.interlocks.lease_s / 2)
  const renewal_s = renewalOf(leaseUntil_s, program.interlocks.lease_s, now_s)
  if (!mayDiffer && set_C === wasSet_C && (!isRenewed || now_s < renewal_s)) {
    if (isRenewed) scope.renew(renewal_s)
    return
  }
  const until_s = now_s + program.interlocks.lease_s
  state.fence++
  list.push({ appliance: 'thermostat', target_C: set_C, until_s, fence: state.fence })
  state.thermostat = { ...thermostat, leaseUntil_s: until_s }
  if (isRenewed) scope.renew(until_s - half_s)
}

/** Due at half of it; at once when there is none, or one that is longer than any that is given (by a clock that was ahead). */
function renewalOf(leaseUntil_s: number | null, lease_s: number, now_s: number): number {
  if (leaseUntil_s === null || leaseUntil_s > now_s + lease_s) return now_s
  return leaseUntil_s - Math.ceil(lease_s / 2)
}
