import { awaitedUntil_s } from '../engine/belief.ts'
import type { EngineState } from '../engine/contract.ts'
import type { Program } from '../engine/program.ts'
import type { AlarmCode } from './catalogue.ts'

/** Something that is so now, and that asks for somebody. `subject` tells two of a kind apart: an instrument, a question. */
export interface AlarmCondition {
  readonly code: AlarmCode
  readonly subject: string
  /** What a person wants to know besides: the words of a question, what an appliance answered. Tells no two of a kind apart. */
  readonly detail?: string
}

/** What is not right with a batch now, read off the engine's state. */
export function conditionsOf(program: Program, state: EngineState): readonly AlarmCondition[] {
  const { batch, limitBroken, heater, cooler, thermostat, questions, disagreeing, channels, inCharge } = state
  // After the end of its plan a fermentation is still kept at its last target, so its temperature still matters.
  const isKept = batch === 'complete' && program.side === 'fermentation'
  if (batch !== 'running' && batch !== 'held' && !isKept) return []
  const conditions: AlarmCondition[] = []
  if (limitBroken !== null) conditions.push({ code: 'limit-broken', subject: limitBroken })
  if (program.beer >= 0 && inCharge[program.beer] === -1 && !isAwaited(program, state)) {
    conditions.push({ code: 'beer-temperature-unknown', subject: '' })
  }
  if (heater.lockedOut) conditions.push({ code: 'no-response', subject: 'heater' })
  if (cooler.lockedOut) conditions.push({ code: 'no-response', subject: 'cooler' })
  if (thermostat?.lockedOut) conditions.push({ code: 'no-response', subject: 'thermostat' })
  if (isHeldByPlan(program, state)) conditions.push({ code: 'batch-held', subject: '' })
  for (const { quantity, said } of disagreeing) {
    if (said) conditions.push({ code: 'instruments-disagree', subject: program.quantities[quantity]!.name })
  }
  const stuck = new Set<string>()
  channels.forEach(({ stuckSince_s }, number) => {
    if (stuckSince_s != null) stuck.add(program.channels[number]!.instrument)
  })
  for (const subject of stuck) conditions.push({ code: 'instrument-stuck', subject })
  const lost = new Set<string>()
  channels.forEach(({ doubted, trusted }, number) => {
    if (doubted && !trusted) lost.add(program.channels[number]!.instrument)
  })
  for (const subject of lost) conditions.push({ code: 'instrument-lost', subject })
  for (const { id } of questions) conditions.push({ code: 'question-open', subject: String(id) })
  return conditions
}

/** Whoever holds a batch, or has said 'not yet' to going on, knows of it; only a plan that holds and waits calls somebody. */
function isHeldByPlan(program: Program, { batch, stage: number, questions }: EngineState): boolean {
  if (batch !== 'held') return false
  const stage = program.stages[number]
  return questions.some(({ about }) => {
    switch (about) {
      case 'limit':
        return true
      case 'late':
        return stage?.ifLate === 'hold'
      case 'unknown':
        return stage?.ifUnknown === 'hold'
      default:
        return false
    }
  })
}

/** A thermometer that has not failed is read again soon, after a start or a restart: until then nobody can do more than wait. */
function isAwaited(program: Program, state: EngineState): boolean {
  const until_s = awaitedUntil_s(program, state, program.beer)
  return until_s !== null && state.now_s !== null && state.now_s < until_s
}
