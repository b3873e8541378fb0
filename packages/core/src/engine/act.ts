import { control } from './control.ts'
import type { Draft } from './draft.ts'
import { interlock } from './interlocks.ts'
import { watchLimits } from './limits.ts'
import type { Aim } from './target.ts'
import { setThermostat } from './thermostat.ts'

/**
 * Controller, limits and interlocks: what the appliances are to do.
 *
 * What has just been switched is held to other bounds than before: the other edge of a hysteresis counts, a response is
 * watched for. A call one second later would find that out, and mostly nothing else. So it is found out here: if looking
 * again from the next second on there is nothing to do, the bounds of that look are those within which the answer stands.
 */
export function act(draft: Draft, aim: Aim): void {
  const { state, now_s } = draft
  const { batch, limitBroken, questions } = state
  const scope = draft.scope.copy()
  decide(draft, aim)
  // The plan's conditions have to look again at what has come up besides, and at what is due in the next second.
  const isAll = state.batch === batch && state.limitBroken === limitBroken && state.questions === questions
  if (!draft.scope.looksAgain || scope.looksAgain || !isAll) return
  const next: Draft = { ...draft, now_s: now_s + 1, state: { ...state }, events: [], scope }
  decide(next, aim)
  if (isSettled(next, draft)) draft.scope = scope
}

function decide(draft: Draft, aim: Aim): void {
  const { thermostat } = draft.program
  if (thermostat === null) {
    const demand = control(draft, aim)
    watchLimits(draft)
    interlock(draft, demand)
  } else {
    watchLimits(draft)
    setThermostat(draft, thermostat, aim)
  }
}

/**
 * Parts of a state are replaced and never changed, so those that are the same have not been touched. The batch, a limit and
 * the questions never change without an event.
 */
function isSettled({ state: next, events }: Draft, { state }: Draft): boolean {
  return (
    events.length === 0 &&
    next.heater === state.heater &&
    next.cooler === state.cooler &&
    next.thermostat === state.thermostat &&
    next.controller === state.controller
  )
}
