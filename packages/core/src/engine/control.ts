import type { ControlSettings } from '../plan/plan.ts'
import type { ControllerState } from './contract.ts'
import { sampleAirTarget } from './controllers/cascade.ts'
import { wantsCold, wantsHeat } from './controllers/on-off.ts'
import { pulse, sampleProportional } from './controllers/proportional.ts'
import { believed, channelInCharge, type Draft } from './draft.ts'
import { type Aim, presentStage } from './target.ts'

/** Above this output an appliance counts as asked for all it can give, and its response is watched. */
const FULL_OUTPUT = 0.95

/** What the controller would like; the interlocks decide. `full`: it asks for all that the appliance can give. */
export interface Demand {
  readonly heat: boolean
  readonly cool: boolean
  readonly fullHeat: boolean
  readonly fullCool: boolean
}

const NOTHING: Demand = { heat: false, cool: false, fullHeat: false, fullCool: false }

/** Fifth part of the pipeline: what the controller wants, from the target and the believed temperature. */
export function control(draft: Draft, aim: Aim): Demand {
  const stage = presentStage(draft)
  const { program, state } = draft
  const beer_C = believed(draft, program.beer)
  const wantsNothing = aim.heatTo_C === null && aim.coolTo_C === null && aim.power === null
  if (stage === null || beer_C === null || wantsNothing) {
    state.controller = atRest(state.controller)
    return NOTHING
  }
  if (aim.power !== null) return constantPower(draft, stage.control, aim.power)
  const { method } = stage.control
  // A free rise has two targets, one to heat to and one to cool to: between them nothing is to be controlled.
  const target_C = aim.heatTo_C === aim.coolTo_C ? aim.heatTo_C : null
  if (target_C === null) return onOff(draft, stage.control, aim, beer_C)
  if (method === 'proportional') return proportional(draft, stage.control, target_C, beer_C)
  const air_C = believed(draft, program.air)
  if (method === 'cascade' && air_C !== null) return cascade(draft, stage.control, target_C, beer_C, air_C)
  return onOff(draft, stage.control, aim, beer_C)
}

/** Nothing is wanted; what has been learned (the integral part) is kept for when control begins again. */
export function atRest(controller: ControllerState): ControllerState {
  if (!controller.wantHeat && !controller.wantCool && controller.windowFrom_s === null) return controller
  return {
    ...controller,
    wantHeat: false,
    wantCool: false,
    lastMeasured_C: null,
    windowFrom_s: null,
    airTarget_C: null,
  }
}

export function keepWishes(draft: Draft, wantHeat: boolean, wantCool: boolean): Demand {
  const { controller } = draft.state
  if (controller.wantHeat !== wantHeat || controller.wantCool !== wantCool) {
    draft.state.controller = { ...controller, wantHeat, wantCool }
    // From the next second on, the other edge of the hysteresis counts.
    draft.scope.lookAgain()
  }
  return { heat: wantHeat, cool: wantCool, fullHeat: wantHeat, fullCool: wantCool }
}

function onOff(draft: Draft, settings: ControlSettings, aim: Aim, beer_C: number): Demand {
  const { program, state, scope } = draft
  const channel = channelInCharge(draft, program.beer)
  const { wantHeat, wantCool } = state.controller
  const { heatStart_K, heatStop_K, coolStart_K, coolStop_K } = settings
  const heat =
    program.heater !== null &&
    aim.heatTo_C !== null &&
    wantsHeat(scope, channel, beer_C, wantHeat, aim.heatTo_C, heatStart_K, heatStop_K)
  const cool =
    program.cooler !== null &&
    aim.coolTo_C !== null &&
    wantsCold(scope, channel, beer_C, wantCool, aim.coolTo_C, coolStart_K, coolStop_K)
  return keepWishes(draft, heat, cool)
}

/** The outer loop of a cascade: what the air should be at now, sampled once per window. */
export function airTarget_C(
  draft: Draft,
  settings: ControlSettings,
  target_C: number,
  beer_C: number,
): number {
  const { state, scope, now_s } = draft
  if (isSampleDue(draft, settings)) {
    state.controller = sampleAirTarget(
      sampledBefore(draft, settings),
      settings,
      state.stage,
      target_C,
      beer_C,
      now_s,
    )
  }
  scope.wake(state.controller.windowFrom_s! + settings.window_s)
  return state.controller.airTarget_C!
}

function cascade(
  draft: Draft,
  settings: ControlSettings,
  target_C: number,
  beer_C: number,
  air_C: number,
): Demand {
  const { program, state, scope } = draft
  const airWanted_C = airTarget_C(draft, settings, target_C, beer_C)
  const beer = channelInCharge(draft, program.beer)
  const air = channelInCharge(draft, program.air)
  const { wantHeat, wantCool } = state.controller
  const { heatStart_K, heatStop_K, coolStart_K, coolStop_K } = settings
  const { heater, cooler } = program
  let heat = false
  if (heater !== null) {
    heat = heater.followsAir
      ? wantsHeat(scope, air, air_C, wantHeat, airWanted_C, heatStart_K, heatStop_K)
      : wantsHeat(scope, beer, beer_C, wantHeat, target_C, heatStart_K, heatStop_K)
  }
  let cool = false
  if (cooler !== null) {
    cool = cooler.followsAir
      ? wantsCold(scope, air, air_C, wantCool, airWanted_C, coolStart_K, coolStop_K)
      : wantsCold(scope, beer, beer_C, wantCool, target_C, coolStart_K, coolStop_K)
  }
  return keepWishes(draft, heat, cool)
}

function proportional(draft: Draft, settings: ControlSettings, target_C: number, beer_C: number): Demand {
  const { program, state, now_s } = draft
  if (isSampleDue(draft, settings)) {
    const last = program.stages[state.controller.stage]
    const isChanged = last !== undefined && last.control !== settings
    const canCool = program.cooler !== null
    state.controller = sampleProportional(
      sampledBefore(draft, settings),
      settings,
      state.stage,
      isChanged,
      target_C,
      beer_C,
      now_s,
      canCool,
    )
  }
  return withinWindow(draft, settings)
}

function constantPower(draft: Draft, settings: ControlSettings, power: number): Demand {
  const { state, now_s } = draft
  if (isSampleDue(draft, settings) || state.controller.output !== power) {
    state.controller = {
      ...state.controller,
      ...pulse(power, settings.window_s, now_s),
      lastMeasured_C: null,
    }
  }
  return withinWindow(draft, settings)
}

function isSampleDue(draft: Draft, settings: ControlSettings): boolean {
  const { windowFrom_s } = draft.state.controller
  return windowFrom_s === null || draft.now_s >= windowFrom_s + settings.window_s
}

/**
 * What the controller remembers for its next sample. When it was not asked for a whole window or longer (another method,
 * no air temperature, software that was down) it keeps what it has learned, but nobody knows the error of that time.
 */
function sampledBefore(draft: Draft, settings: ControlSettings): ControllerState {
  const { controller } = draft.state
  const { windowFrom_s } = controller
  if (windowFrom_s === null || draft.now_s < windowFrom_s + 2 * settings.window_s) return controller
  return { ...controller, windowFrom_s: null, lastMeasured_C: null }
}

/** Where the present window stands: on until its share is used up, then off until the next sample. */
function withinWindow(draft: Draft, settings: ControlSettings): Demand {
  const { scope, now_s, state, program } = draft
  const { windowFrom_s, heatUntil_s, coolUntil_s, output } = state.controller
  const heat = program.heater !== null && now_s < heatUntil_s
  const cool = program.cooler !== null && now_s < coolUntil_s
  if (heat) scope.wake(heatUntil_s)
  if (cool) scope.wake(coolUntil_s)
  scope.wake(windowFrom_s! + settings.window_s)
  keepWishes(draft, heat, cool)
  return { heat, cool, fullHeat: output >= FULL_OUTPUT, fullCool: output <= -FULL_OUTPUT }
}
