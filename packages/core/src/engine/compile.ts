import type { Beer } from '../beer/beer.ts'
import type {
  Condition,
  ControlSettings,
  Course,
  Destination,
  Plan,
  QuantityName,
  Stage,
} from '../plan/plan.ts'
import { floatBounds } from '../readiness/float-bounds.ts'
import { listChannels, type NumberedChannel } from '../vessel/channels.ts'
import { fastest_K_per_s, reachOf } from '../vessel/reach.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Thermostat, Vessel } from '../vessel/vessel.ts'
import type {
  Program,
  ProgramAppliance,
  ProgramChannel,
  ProgramQuantity,
  ProgramStage,
  ProgramThermostat,
  Test,
} from './program.ts'
import { stillnessRule } from './stillness.ts'

const NOTHING_BELOW_C = -273.15
const NOTHING_ABOVE_C = 1000
const HOUR_S = 3600
/** A thermostat's own thermometer may differ from that of the beer by so much, K. Common practice, no source. */
const THERMOMETERS_DIFFER_K = 1

/**
 * Makes a plan ready for a vessel and a beer. The plan must have been read without errors; a quantity that the vessel
 * does not measure is allowed and stays unknown for ever (the proof-reader reports it).
 *
 * @param localOffset_s what the vessel's wall clock is ahead of UTC, s
 */
export function compile(plan: Plan, vessel: Vessel, beer: Beer, localOffset_s = 0): Program {
  const channels = listChannels(vessel)
  const quantities = listQuantities(vessel, channels)
  const numberOf = (name: QuantityName) => quantities.findIndex(quantity => quantity.name === name)
  const windows_s = quantities.map(() => 0)
  const isFromFloat = beer.originalGravityFrom === 'float' && plan.side === 'fermentation'
  const float = isFromFloat ? floatBounds(vessel, beer) : null
  if (float !== null) windows_s[numberOf('gravity')] = float.steadyFor_s
  let dwells = 0
  let asksTarget = false

  const condition = (node: Condition): Test => {
    const dwell = node.lasting_s > 0 ? dwells++ : -1
    const common = { dwell, lasting_s: node.lasting_s }
    switch (node.kind) {
      case 'all':
      case 'any':
        return { ...common, kind: node.kind, of: node.of.map(condition) }
      case 'not':
        return { ...common, kind: 'not', of: condition(node.of) }
      case 'compare': {
        const { against } = node
        return {
          ...common,
          kind: 'compare',
          quantity: numberOf(node.quantity),
          atLeast: node.relation === 'at least',
          threshold: against.kind === 'value' ? against.value : against.difference,
          above: against.kind === 'value' ? 'nothing' : against.kind === 'above final' ? 'final' : 'forecast',
          forecast: numberOf('forecast final gravity'),
        }
      }
      case 'attenuation': {
        return { ...common, kind: 'attenuation', quantity: numberOf('gravity'), atLeast: node.atLeast }
      }
      case 'fall': {
        const quantity = numberOf('gravity')
        if (quantity >= 0) windows_s[quantity] = Math.max(windows_s[quantity]!, node.over_s)
        const { rate_per_s, over_s } = node
        return {
          ...common,
          kind: 'fall',
          quantity,
          atLeast: node.relation === 'at least',
          rate_per_s,
          over_s,
        }
      }
      case 'steady': {
        const quantity = numberOf(node.quantity)
        if (quantity >= 0) windows_s[quantity] = Math.max(windows_s[quantity]!, node.for_s)
        return { ...common, kind: 'steady', quantity, within: node.within, for_s: node.for_s }
      }
      case 'elapsed':
        if (node.since === 'target') asksTarget = true
        return { ...common, kind: 'elapsed', since: node.since, atLeast_s: node.atLeast_s }
      case 'near target':
        asksTarget = true
        return { ...common, kind: 'near target', within_K: node.within_K }
      case 'calendar':
        return { ...common, kind: 'calendar', local_s: node.from.local_s }
      case 'time of day':
        return { ...common, kind: 'time of day', from_s: node.from_s, to_s: node.to_s }
      case 'done':
        return { ...common, kind: 'done', task: node.task }
    }
  }

  const settings = shareEqual<ControlSettings>()
  const destination = (to: Destination, from: number) => destinationNumber(plan, to, from)
  const stages = plan.stages.map((stage, number): ProgramStage => {
    const unknown = stage.ifUnknown
    asksTarget = false
    const compiled = {
      name: stage.name,
      course: stage.course,
      control: settings({ ...vessel.control, ...plan.control, ...stage.control }),
      until: stage.until ? condition(stage.until) : null,
      next: destination(stage.next, number),
      askFirst: stage.askFirst,
      question: stage.question ?? '',
      atMost_s: stage.atMost_s ?? Number.POSITIVE_INFINITY,
      ifLate: stage.atMost_s === undefined ? null : stage.ifLate.kind,
      lateNext: lateDestination(stage, number, destination),
      unknownWait_s: unknown ? unknown.wait_s : Number.POSITIVE_INFINITY,
      ifUnknown: unknown ? unknown.then.kind : null,
      instead: unknown?.then.kind === 'use' ? condition(unknown.then.instead) : null,
      branches: stage.branches.map(branch => ({
        when: condition(branch.when),
        next: destination(branch.destination, number),
        askFirst: branch.askFirst,
        question: branch.question ?? '',
      })),
      tasks: stage.tasks.map(task => ({
        name: task.name,
        when: task.when ? condition(task.when) : null,
        wait: task.wait,
      })),
    }
    return { ...compiled, asksTarget }
  })

  const asked_C = [beer.startsAt_C.value, ...plan.stages.flatMap(({ course }) => temperaturesIn(course))]
  const programChannels = channels.map(({ instrument, channel }): ProgramChannel => {
    const quantity = quantities.findIndex(each => each.name === channel.quantity)
    const medianOf =
      quantities[quantity]!.isGravity && !instrument.byHand ? readingsToSmooth(instrument.every_s) : 1
    const window_s = windows_s[quantity]!
    return {
      instrument: instrument.name,
      quantity,
      lowest: channel.lowest,
      highest: channel.highest,
      step: channel.step,
      firstNeeds: instrument.byHand || instrument.every_s > HOUR_S ? 1 : 2,
      reach: reachOf(vessel, channel.quantity, asked_C),
      fastest_per_s:
        plan.side === 'fermentation' && channel.quantity === 'beer'
          ? fastest_K_per_s(vessel)
          : Number.POSITIVE_INFINITY,
      silence_s: silenceAllowed_s(instrument),
      still: stillnessRule(
        plan.side === 'fermentation' && (channel.quantity === 'beer' || channel.quantity === 'air'),
        instrument.byHand,
        channel.resolution,
      ),
      medianOf,
      history_s: window_s > 0 || medianOf > 1 ? Math.max(window_s, medianOf * instrument.every_s) : 0,
    }
  })

  return {
    plan: plan.name,
    side: plan.side,
    channels: programChannels,
    remembers: programChannels.map(({ history_s }) => history_s > 0),
    quantities,
    beer: numberOf('beer'),
    air: numberOf('air'),
    gravity: numberOf('gravity'),
    stages,
    dwells,
    lowest_C: plan.limits.lowest_C ?? NOTHING_BELOW_C,
    highest_C: plan.limits.highest_C ?? NOTHING_ABOVE_C,
    ifBroken: plan.limits.ifBroken,
    heater: vessel.heater && !vessel.thermostat ? appliance(vessel, 'heater') : null,
    cooler: vessel.cooler && !vessel.thermostat ? appliance(vessel, 'cooler') : null,
    thermostat: vessel.thermostat ? thermostat(vessel, vessel.thermostat) : null,
    interlocks: vessel.interlocks,
    originalGravity: beer.originalGravity,
    originalGravitySd_SG: beer.originalGravitySd_SG ?? 0,
    finalGravity: beer.finalGravity.value,
    float,
    localOffset_s,
  }
}

function temperaturesIn(course: Course): readonly number[] {
  switch (course.kind) {
    case 'hold':
      return [course.target_C]
    case 'ramp':
      return [course.to_C, course.from_C ?? course.to_C]
    case 'free rise':
      return [course.cap_C, course.lowest_C ?? course.cap_C]
    case 'boil':
      return [course.from_C]
    case 'leave alone':
      return []
  }
}

function listQuantities(vessel: Vessel, channels: readonly NumberedChannel[]): readonly ProgramQuantity[] {
  const names = [...new Set(channels.map(({ channel }) => channel.quantity))]
  return names.map(name => {
    const own = channels.filter(({ channel }) => channel.quantity === name)
    const wished = vessel.trust[name] ?? []
    const rank = ({ instrument }: NumberedChannel) => {
      const place = wished.indexOf(instrument.name)
      return place < 0 ? wished.length : place
    }
    const disagree =
      name === 'beer'
        ? vessel.interlocks.disagree_K
        : name === 'gravity'
          ? vessel.interlocks.disagree_SG
          : Number.POSITIVE_INFINITY
    return {
      name,
      trust: own.toSorted((a, b) => rank(a) - rank(b)).map(({ number }) => number),
      disagree,
      isGravity: name === 'gravity',
    }
  })
}

/** A float's reading is smoothed by a median, which foam and single wild readings can not pull; a rare one is taken as it is. */
function readingsToSmooth(every_s: number): number {
  return every_s <= HOUR_S ? 5 : every_s <= 6 * HOUR_S ? 3 : 1
}

function appliance(vessel: Vessel, which: 'heater' | 'cooler'): ProgramAppliance {
  const { restsAtLeast_s, runsAtLeast_s, toAir_W_per_K, toBeer_W_per_K } = vessel[which]!
  const toWall_W_per_K = which === 'heater' ? vessel.heater!.toWall_W_per_K : 0
  return {
    restsAtLeast_s,
    runsAtLeast_s,
    response_s: which === 'heater' ? vessel.interlocks.heaterResponse_s : vessel.interlocks.coolerResponse_s,
    followsAir: vessel.heat.cabinet && toAir_W_per_K > toBeer_W_per_K + toWall_W_per_K,
  }
}

function thermostat(vessel: Vessel, device: Thermostat): ProgramThermostat {
  const { lowest_C, highest_C, resolution_K } = device
  const { heaterResponse_s, coolerResponse_s } = vessel.interlocks
  return {
    heats: vessel.heater !== undefined,
    cools: vessel.cooler !== undefined,
    followsAir: device.follows === 'air',
    lowest_C,
    highest_C,
    resolution_K,
    away_K: device.hysteresis_K + THERMOMETERS_DIFFER_K,
    keepsTarget: device.whenUnheard === 'keeps its target',
    warmsWithin_s: heaterResponse_s,
    coolsWithin_s: coolerResponse_s,
  }
}

function destinationNumber(plan: Plan, to: Destination, from: number): number {
  if (to.kind === 'following') return from + 1
  if (to.kind === 'finish') return plan.stages.length
  return plan.stages.findIndex(stage => stage.name === to.name)
}

function lateDestination(
  stage: Stage,
  number: number,
  find: (to: Destination, from: number) => number,
): number {
  return find(stage.ifLate.kind === 'go to' ? stage.ifLate.destination : stage.next, number)
}

/** Gives back the same object for equal settings, so that "the settings have changed" is a comparison of references. */
function shareEqual<T>(): (value: T) => T {
  const known = new Map<string, T>()
  return value => {
    const key = JSON.stringify(value)
    const same = known.get(key)
    if (same) return same
    known.set(key, value)
    return value
  }
}
