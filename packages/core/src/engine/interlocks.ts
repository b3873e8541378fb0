import type { ApplianceState } from './contract.ts'
import type { Demand } from './control.ts'
import { believed, channelInCharge, type Draft, partOf } from './draft.ts'
import type { SwitchedName, SwitchReason } from './events.ts'
import { ask } from './questions.ts'
import { presentStage } from './target.ts'

interface Block {
  readonly why: SwitchReason
  /** When it will be over, if time alone ends it. */
  readonly until_s: number | null
}

const SWITCHED = ['heater', 'cooler'] as const
const OTHER = { heater: 'cooler', cooler: 'heater' } as const

/**
 * Sixth part of the pipeline, and the one that always wins: whatever the controller wants, heater and cooler never run
 * together, a compressor rests, nothing runs while the beer's temperature is unknown, the limits hold, and an appliance
 * that does not do what it should is stopped.
 */
export function interlock(draft: Draft, demand: Demand): void {
  askAboutLockedOut(draft, 'heater')
  askAboutLockedOut(draft, 'cooler')
  // Off before on, so that a change from one to the other starts its delay in this very call.
  for (const name of SWITCHED) {
    if (partOf(draft.program, name) !== null && partOf(draft.state, name).on)
      switchOffIfDue(draft, name, demand)
  }
  for (const name of SWITCHED) {
    if (partOf(draft.program, name) !== null && !partOf(draft.state, name).on)
      switchOnIfAllowed(draft, name, demand)
  }
  watchResponse(draft, 'heater', demand.fullHeat)
  watchResponse(draft, 'cooler', demand.fullCool)
}

/**
 * A command that was not renewed in time has lapsed, and the appliance has fallen back to off by itself: a compressor's
 * rest counts from then, and is not cut short by an engine that was called too late and believes it is still on.
 */
export function noteLapsed(draft: Draft): void {
  for (const name of SWITCHED) {
    const { on, leaseUntil_s } = partOf(draft.state, name)
    if (!on || leaseUntil_s === null || draft.now_s < leaseUntil_s) continue
    const off = { on: false, since_s: leaseUntil_s, ranUntil_s: leaseUntil_s }
    change(draft, name, { ...NOT_WATCHED, ...off })
    noteSwitched(draft, name, false, 'lapsed')
  }
}

/** The brewer says that an appliance without the expected response may run again. */
export function unlock(draft: Draft, appliance: string): void {
  const { state } = draft
  if (appliance === 'heater' || appliance === 'cooler') change(draft, appliance, { lockedOut: false })
  else if (state.thermostat) state.thermostat = { ...state.thermostat, lockedOut: false }
}

const wants = (demand: Demand, name: SwitchedName) => (name === 'heater' ? demand.heat : demand.cool)

function change(draft: Draft, name: SwitchedName, part: Partial<ApplianceState>): void {
  const { state } = draft
  if (name === 'heater') state.heater = { ...state.heater, ...part }
  else state.cooler = { ...state.cooler, ...part }
}

function switchOffIfDue(draft: Draft, name: SwitchedName, demand: Demand): void {
  const { now_s, scope, program, state } = draft
  const block = safetyBlock(draft, name)
  if (block === null) {
    if (wants(demand, name)) return
    const mayStop_s = (partOf(state, name).since_s ?? now_s) + partOf(program, name)!.runsAtLeast_s
    if (now_s < mayStop_s) {
      scope.wake(mayStop_s)
      return
    }
  }
  change(draft, name, { on: false, since_s: now_s, ranUntil_s: now_s })
  noteSwitched(draft, name, false, block?.why ?? 'controller')
}

function switchOnIfAllowed(draft: Draft, name: SwitchedName, demand: Demand): void {
  const { now_s, events, state, scope } = draft
  const appliance = partOf(state, name)
  if (!wants(demand, name)) {
    if (appliance.withheld !== null) change(draft, name, { withheld: null })
    return
  }
  const block = safetyBlock(draft, name) ?? timingBlock(draft, name, demand)
  if (block === null) {
    change(draft, name, { on: true, since_s: now_s, withheld: null })
    noteSwitched(draft, name, true, 'controller')
    return
  }
  if (block.until_s !== null) scope.wake(block.until_s)
  if (appliance.withheld === block.why) return
  change(draft, name, { withheld: block.why })
  events.push({ kind: 'withheld', at_s: now_s, appliance: name, why: block.why, until_s: block.until_s })
}

function noteSwitched(draft: Draft, appliance: SwitchedName, on: boolean, why: SwitchReason): void {
  const { program, state, now_s, events, scope } = draft
  const beer_C = believed(draft, program.beer)
  events.push({ kind: 'switched', at_s: now_s, appliance, on, why, target_C: state.target_C, beer_C })
  scope.lookAgain()
}

/** What forbids an appliance to be on, at once and whatever the least run is. */
function safetyBlock(draft: Draft, name: SwitchedName): Block | null {
  const { program, state, scope } = draft
  const { limitBroken } = state
  if (presentStage(draft) === null) return { why: 'batch not running', until_s: null }
  const beer_C = believed(draft, program.beer)
  if (beer_C === null) return { why: 'beer temperature unknown', until_s: null }
  if (partOf(state, name).lockedOut) return { why: 'no response', until_s: null }
  if (program.ifBroken === 'switch off' && limitBroken !== null) {
    return { why: limitBroken === 'highest' ? 'highest limit' : 'lowest limit', until_s: null }
  }
  const channel = channelInCharge(draft, program.beer)
  if (name === 'heater' && scope.atLeast(channel, beer_C, program.highest_C))
    return { why: 'highest limit', until_s: null }
  if (name === 'cooler' && scope.atMost(channel, beer_C, program.lowest_C))
    return { why: 'lowest limit', until_s: null }
  return null
}

/** What makes an appliance wait before it is switched on. */
function timingBlock(draft: Draft, name: SwitchedName, demand: Demand): Block | null {
  const { program, state, now_s } = draft
  const other = partOf(state, OTHER[name])
  const isRival =
    partOf(program, OTHER[name]) !== null &&
    wants(demand, OTHER[name]) &&
    safetyBlock(draft, OTHER[name]) === null
  if (other.on || isRival) return { why: 'other appliance runs', until_s: null }
  if (other.ranUntil_s !== null) {
    // If its "off" has not arrived, the other runs on until its lease lapses: only then is it surely off, and the changeover
    // begins. Without that, it would be switched on in the very second of the lapse, while the other still looks at its clock.
    const lapsed_s = Math.min(other.leaseUntil_s ?? 0, other.ranUntil_s + program.interlocks.lease_s)
    const until_s = Math.max(other.ranUntil_s, lapsed_s) + program.interlocks.changeover_s
    if (now_s < until_s) return { why: 'changeover', until_s }
  }
  const { since_s } = partOf(state, name)
  if (since_s !== null) {
    const until_s = since_s + partOf(program, name)!.restsAtLeast_s
    if (now_s < until_s) return { why: 'rest', until_s }
  }
  return null
}

/**
 * A temperature that moves the wrong way by this many times the expected response cannot be a vessel at its limit. Our own
 * choice, no source: a vessel at its limit wanders by its room's day, about one response; twice that again is more than noise.
 */
export const WRONG_WAY = 3

/**
 * An appliance that is asked for all it can give must move the beer's temperature by the expected amount in the expected
 * time; else the probe does not sit in the beer, or the appliance is dead. One that has moved it since it was switched on
 * and now gets no further is at the vessel's limit: it goes on, unless the temperature runs away from it, as it does when
 * a probe falls out in the middle of a run.
 */
function watchResponse(draft: Draft, name: SwitchedName, isFull: boolean): void {
  const { program, state, scope, now_s, events } = draft
  const appliance = partOf(state, name)
  const response_s = partOf(program, name)?.response_s ?? 0
  const beer_C = believed(draft, program.beer)
  if (response_s === 0) return
  const isOtherInstrument = events.some(event => event.kind === 'in charge' && event.quantity === 'beer')
  if (!isFull || !appliance.on || beer_C === null || isOtherInstrument) {
    if (appliance.watchFrom_s !== null) change(draft, name, NOT_WATCHED)
    if (isOtherInstrument) scope.lookAgain()
    return
  }
  const { watchFrom_s, watchFrom_C, hasResponded } = appliance
  if (watchFrom_s === null || watchFrom_C === null) {
    // Boiling wort gets no warmer, also when the element comes on in the middle of the boil.
    const isBoiling = presentStage(draft)?.course.kind === 'boil' && state.reachedAt_s !== null
    watchFrom(draft, name, beer_C, isBoiling)
    return
  }
  const { response_K } = program.interlocks
  if (hasMoved(draft, name, beer_C, watchFrom_C, response_K)) {
    watchFrom(draft, name, beer_C, true)
    return
  }
  if (now_s < watchFrom_s + response_s) {
    scope.wake(watchFrom_s + response_s)
    return
  }
  if (hasResponded && hasMoved(draft, name, beer_C, watchFrom_C, -WRONG_WAY * response_K)) {
    watchFrom(draft, name, beer_C, true)
    return
  }
  const after_s = now_s - watchFrom_s
  const stopped = { on: false, since_s: now_s, ranUntil_s: now_s }
  change(draft, name, { ...NOT_WATCHED, ...stopped, lockedOut: true })
  events.push({
    kind: 'no response',
    at_s: now_s,
    appliance: name,
    after_s,
    from_C: watchFrom_C,
    to_C: beer_C,
  })
  noteSwitched(draft, name, false, 'no response')
  askAboutLockedOut(draft, name)
}

/** Only the brewer can let it run again, so they are asked for as long as it is stopped, also in a later stage. */
function askAboutLockedOut(draft: Draft, name: SwitchedName): void {
  const { state } = draft
  const stage = presentStage(draft)
  if (!partOf(state, name).lockedOut || stage === null) return
  if (state.questions.some(({ about, subject }) => about === 'no response' && subject === name)) return
  ask(draft, 'no response', stage.name, '', name)
}

const NOT_WATCHED = { watchFrom_s: null, watchFrom_C: null, hasResponded: false } as const

function watchFrom(draft: Draft, name: SwitchedName, beer_C: number, hasResponded: boolean): void {
  change(draft, name, { watchFrom_s: draft.now_s, watchFrom_C: beer_C, hasResponded })
  draft.scope.lookAgain()
}

/** Whether the beer has moved at least so far from where it was, up for a heater, down for a cooler. */
export function hasMoved(
  draft: Draft,
  name: SwitchedName,
  beer_C: number,
  from_C: number,
  distance_K: number,
): boolean {
  const { scope, program } = draft
  const channel = channelInCharge(draft, program.beer)
  return name === 'heater'
    ? scope.atLeast(channel, beer_C, from_C + distance_K)
    : scope.atMost(channel, beer_C, from_C - distance_K)
}
