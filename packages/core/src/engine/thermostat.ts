import type { ThermostatState } from './contract.ts'
import { airTarget_C, atRest, keepWishes } from './control.ts'
import { wantsCold, wantsHeat } from './controllers/on-off.ts'
import { believed, channelInCharge, type Draft } from './draft.ts'
import type { SetReason } from './events.ts'
import { hasMoved, WRONG_WAY } from './interlocks.ts'
import type { ProgramStage, ProgramThermostat } from './program.ts'
import { ask } from './questions.ts'
import { type Aim, presentStage } from './target.ts'

/*
 * Controller and interlocks in one, for a vessel whose thermostat does its own switching. That it never heats and cools
 * together, and lets a compressor rest, is its own business. Here it is told a target, within its range and the plan's
 * limits; it keeps the last one while the beer's temperature is unknown, because it has a thermometer of its own; and it is
 * switched off when the batch is over, or when the beer does not do what it should.
 */

/** The target stays until what is wanted is this many steps of the thermostat away: a little more than half of one. */
const STAYS_WITHIN_STEPS = 0.6
const TIDY = 1e6
const TINY_K = 1e-9

interface Wish {
  readonly set_C: number | null
  readonly why: SetReason
}

const off = (why: SetReason): Wish => ({ set_C: null, why })

/** Works out what the thermostat is to be set to, and watches whether the beer follows. */
export function setThermostat(draft: Draft, device: ProgramThermostat, aim: Aim): void {
  askAboutLockedOut(draft)
  set(draft, wish(draft, device, aim))
  watchResponse(draft, device)
}

/** A command that was not renewed in time has lapsed: what goes off by itself then has to be set anew. */
export function noteThermostatLapsed(draft: Draft, { keepsTarget }: ProgramThermostat): void {
  const { set_C, leaseUntil_s } = draft.state.thermostat!
  if (keepsTarget || set_C === null || leaseUntil_s === null || draft.now_s < leaseUntil_s) return
  set(draft, off('lapsed'))
}

function change(draft: Draft, part: Partial<ThermostatState>): void {
  draft.state.thermostat = { ...draft.state.thermostat!, ...part }
}

function set(draft: Draft, { set_C, why }: Wish): void {
  const { state, now_s, events, program, scope } = draft
  const before = state.thermostat!
  if (before.set_C === set_C && before.why === why) return
  change(draft, { set_C, why })
  const { target_C } = state
  const beer_C = believed(draft, program.beer)
  events.push({ kind: 'thermostat set', at_s: now_s, set_C, why, target_C, beer_C })
  scope.lookAgain()
}

function wish(draft: Draft, device: ProgramThermostat, aim: Aim): Wish {
  const { program, state } = draft
  const { lockedOut } = state.thermostat!
  const stage = presentStage(draft)
  const beer_C = believed(draft, program.beer)
  const wantsNothing = aim.heatTo_C === null && aim.coolTo_C === null && aim.power === null
  if (stage === null || beer_C === null || wantsNothing || lockedOut) {
    state.controller = atRest(state.controller)
  }
  if (stage === null) return off('batch not running')
  if (lockedOut) return off('no response')
  if (wantsNothing) return off('left alone')
  const beyond = beyondLimit(draft, device, beer_C)
  if (beyond !== null) return beyond
  if (beer_C === null) return whileUnknown(draft, device, aim)
  // A thermostat knows no share of power: it is set to where the boil counts as reached.
  if (aim.power !== null) return fit(draft, device, state.target_C!, 'target')
  if (aim.heatTo_C !== aim.coolTo_C) return freeRise(draft, device, stage, aim, beer_C)
  const target_C = aim.coolTo_C!
  if (!device.followsAir || stage.control.method !== 'cascade') return fit(draft, device, target_C, 'target')
  const air_C = airTarget_C(draft, stage.control, target_C, beer_C)
  return fit(draft, device, air_C, 'air for the beer')
}

/**
 * Beyond a limit nobody can tell whether the thermostat is at fault, with its thermometer out of the beer. So it is set to
 * the other end of what it may be set to: then it drives the beer back or does nothing, but no further. One that has
 * nothing to drive it back with goes off; any does where the plan says so. null: no limit is broken.
 */
function beyondLimit(draft: Draft, device: ProgramThermostat, beer_C: number | null): Wish | null {
  const { program, state } = draft
  const { limitBroken } = state
  if (limitBroken === null) return null
  const isTooWarm = limitBroken === 'highest'
  const isAble = isTooWarm ? device.cools : device.heats
  if (program.ifBroken === 'switch off' || !isAble) return off('limit broken')
  if (beer_C === null) return null
  const end_C = isTooWarm ? device.lowest_C : device.highest_C
  return { set_C: fit(draft, device, end_C, 'target').set_C, why: 'limit broken' }
}

/** What was chosen to drive the beer may be far from what the beer can bear; its own target is not. */
function whileUnknown(draft: Draft, device: ProgramThermostat, { coolTo_C }: Aim): Wish {
  const { set_C, why } = draft.state.thermostat!
  const isDriven = (why === 'air for the beer' || why === 'limit broken') && coolTo_C !== null
  return {
    set_C: isDriven ? fit(draft, device, coolTo_C, 'target').set_C : set_C,
    why: 'beer temperature unknown',
  }
}

/** One target can not leave the beer alone between two: in between, a thermostat that could do the wrong thing is off. */
function freeRise(
  draft: Draft,
  device: ProgramThermostat,
  { control }: ProgramStage,
  { heatTo_C, coolTo_C }: Aim,
  beer_C: number,
): Wish {
  if (!device.heats && coolTo_C !== null) return fit(draft, device, coolTo_C, 'target')
  if (!device.cools && heatTo_C !== null) return fit(draft, device, heatTo_C, 'target')
  const { scope, program, state } = draft
  const { wantHeat, wantCool } = state.controller
  const channel = channelInCharge(draft, program.beer)
  const { heatStart_K, heatStop_K, coolStart_K, coolStop_K } = control
  const heat =
    device.heats &&
    heatTo_C !== null &&
    wantsHeat(scope, channel, beer_C, wantHeat, heatTo_C, heatStart_K, heatStop_K)
  const cool =
    device.cools &&
    coolTo_C !== null &&
    wantsCold(scope, channel, beer_C, wantCool, coolTo_C, coolStart_K, coolStop_K)
  keepWishes(draft, heat, cool)
  if (heat) return fit(draft, device, heatTo_C, 'target')
  return cool ? fit(draft, device, coolTo_C, 'target') : off('free rise')
}

/** The nearest that it can be set to within its range, and for the beer itself within the plan's limits. */
function fit({ program, state }: Draft, device: ProgramThermostat, wanted_C: number, why: SetReason): Wish {
  const isAir = why === 'air for the beer'
  const lowest_C = isAir ? device.lowest_C : Math.max(device.lowest_C, program.lowest_C)
  const highest_C = isAir ? device.highest_C : Math.min(device.highest_C, program.highest_C)
  const cut_C = Math.min(highest_C, Math.max(lowest_C, wanted_C))
  const { resolution_K } = device
  const isWithin = (value_C: number) => value_C >= lowest_C - TINY_K && value_C <= highest_C + TINY_K
  const { set_C: before_C } = state.thermostat!
  const stays =
    before_C !== null &&
    isWithin(before_C) &&
    Math.abs(cut_C - before_C) <= STAYS_WITHIN_STEPS * resolution_K + TINY_K
  const set_C = stays ? before_C : nearestStep(cut_C, resolution_K, isWithin)
  // Limits and range have nothing in common, or no step of the thermostat lies within them.
  if (set_C === null) return off('range')
  if (isAir || cut_C === wanted_C) return { set_C, why }
  if (wanted_C > highest_C) {
    return { set_C, why: program.highest_C < device.highest_C ? 'highest limit' : 'range' }
  }
  return { set_C, why: program.lowest_C > device.lowest_C ? 'lowest limit' : 'range' }
}

function nearestStep(value_C: number, step_K: number, isWithin: (value_C: number) => boolean): number | null {
  const steps = Math.round(value_C / step_K)
  for (const each of [steps, steps - 1, steps + 1]) {
    // Adding 0 makes a plain zero of a negative one, which would not survive JSON.
    const step_C = Math.round(each * step_K * TIDY) / TIDY + 0
    if (isWithin(step_C)) return step_C
  }
  return null
}

/**
 * As for a heater or a cooler: while the thermostat is set far from the beer, the beer must come nearer by the expected
 * amount in the expected time. One that follows the air says little about the beer, which its yeast may keep warmer; that
 * is watched only while a cascade asks it for the warmest or coldest air it can have.
 */
function watchResponse(draft: Draft, device: ProgramThermostat): void {
  const { program, state, scope, now_s, events } = draft
  const thermostat = state.thermostat!
  const beer_C = believed(draft, program.beer)
  const isOtherInstrument = events.some(event => event.kind === 'in charge' && event.quantity === 'beer')
  const towards = beer_C === null || isOtherInstrument ? null : expected(draft, device, beer_C)
  if (isOtherInstrument) scope.lookAgain()
  if (towards === null || beer_C === null) {
    if (thermostat.watchFrom_s !== null) change(draft, NOT_WATCHED)
    return
  }
  const { watchTowards, watchFrom_s, watchFrom_C, hasResponded } = thermostat
  const watch = (responded: boolean) => {
    change(draft, {
      watchTowards: towards,
      watchFrom_s: now_s,
      watchFrom_C: beer_C,
      hasResponded: responded,
    })
    scope.lookAgain()
  }
  if (watchFrom_s === null || watchFrom_C === null || watchTowards !== towards) {
    watch(false)
    return
  }
  const way = towards === 'warmer' ? 'heater' : 'cooler'
  const { response_K } = program.interlocks
  if (hasMoved(draft, way, beer_C, watchFrom_C, response_K)) {
    watch(true)
    return
  }
  const due_s = watchFrom_s + (towards === 'warmer' ? device.warmsWithin_s : device.coolsWithin_s)
  if (now_s < due_s) {
    scope.wake(due_s)
    return
  }
  if (hasResponded && hasMoved(draft, way, beer_C, watchFrom_C, -WRONG_WAY * response_K)) {
    watch(true)
    return
  }
  change(draft, { ...NOT_WATCHED, lockedOut: true })
  events.push({
    kind: 'no response',
    at_s: now_s,
    appliance: 'thermostat',
    towards,
    after_s: now_s - watchFrom_s,
    from_C: watchFrom_C,
    to_C: beer_C,
  })
  set(draft, off('no response'))
  askAboutLockedOut(draft)
}

/** Which way the beer should go by what the thermostat is set to; null: nothing can be said. */
function expected(draft: Draft, device: ProgramThermostat, beer_C: number): 'warmer' | 'colder' | null {
  const { state, scope, program } = draft
  const { set_C, why } = state.thermostat!
  if (set_C === null) return null
  const mayWarm = device.heats && device.warmsWithin_s > 0
  const mayCool = device.cools && device.coolsWithin_s > 0
  if (device.followsAir) {
    if (why !== 'air for the beer') return null
    const { airLowest_C, airHighest_C } = presentStage(draft)!.control
    if (mayCool && set_C <= Math.max(airLowest_C, device.lowest_C) + device.resolution_K) return 'colder'
    if (mayWarm && set_C >= Math.min(airHighest_C, device.highest_C) - device.resolution_K) return 'warmer'
    return null
  }
  const channel = channelInCharge(draft, program.beer)
  if (mayWarm && scope.atMost(channel, beer_C, set_C - device.away_K)) return 'warmer'
  if (mayCool && scope.atLeast(channel, beer_C, set_C + device.away_K)) return 'colder'
  return null
}

const NOT_WATCHED = {
  watchTowards: null,
  watchFrom_s: null,
  watchFrom_C: null,
  hasResponded: false,
} as const

/** Only the brewer can let it go on, so they are asked for as long as it is stopped, also in a later stage. */
function askAboutLockedOut(draft: Draft): void {
  const { state } = draft
  const stage = presentStage(draft)
  if (!state.thermostat!.lockedOut || stage === null) return
  if (state.questions.some(({ about, subject }) => about === 'no response' && subject === 'thermostat'))
    return
  ask(draft, 'no response', stage.name, '', 'thermostat')
}
