import { commands } from './commands.ts'
import type { EngineState, Outcome, Stands } from './contract.ts'
import { beginDraft } from './draft.ts'
import type { Program } from './program.ts'
import { Scope } from './scope.ts'

/**
 * What `advance` does at `stands.until_s` when that comes before `stands.decidedUntil_s`, as long as the answer stands: it
 * renews the leases that are due, and decides nothing. For a caller that skips calls, and keeps the readings for the next
 * one. About a third of the calls of a batch are of this kind.
 *
 * @param before the state that came with `stands`
 */
export function renew(program: Program, before: EngineState, stands: Stands, now_s: number): Outcome {
  const draft = beginDraft(program, before, now_s, Scope.holding(stands))
  const told = {
    wasHeating: before.heater.on,
    wasCooling: before.cooler.on,
    wasSet_C: before.thermostat?.set_C ?? null,
    mayDiffer: false,
  }
  const renewed = commands(draft, told)
  return {
    state: draft.state,
    commands: renewed,
    events: draft.events,
    stands: draft.scope.stands(now_s, program.remembers),
  }
}
