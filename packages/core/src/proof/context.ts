import type { Beer } from '../beer/beer.ts'
import type { Condition, ControlSettings, Plan, QuantityName, Stage } from '../plan/plan.ts'
import type { Channel, Instrument, Vessel } from '../vessel/vessel.ts'
import { type Circumstances, type Never, neverTogether } from './conditions/never.ts'
import type { Say } from './say.ts'
import { joinSpans, namedTargets_C, rampTime_s, type Span_C, targetsAtBeginning } from './targets.ts'
import { findTasksThatCome, type TaskCanBeDone } from './tasks.ts'
import { listWays, type Way } from './ways.ts'

/** A plan with everything that several rules ask about it, worked out once. */
export interface ProofContext {
  readonly plan: Plan
  readonly vessel?: Vessel
  readonly beer?: Beer
  readonly finish: number
  readonly say: Say
  /** By stage. */
  readonly ways: readonly (readonly Way[])[]
  /** By stage: the targets with which it can begin; null: not known. */
  readonly begins: readonly (Span_C | null)[]
  /** By stage: whether any way leads to it from the first, whatever its condition. */
  readonly reachable: readonly boolean[]
  readonly neverIn: (stage: number, condition: Condition) => Never | null
  /** All of these conditions together, in whatever stage. */
  readonly neverTogether: (conditions: readonly Condition[]) => Never | null
}

export function proofContext(
  plan: Plan,
  vessel: Vessel | undefined,
  beer: Beer | undefined,
  say: Say,
): ProofContext {
  const finish = plan.stages.length
  const numbers = new Map<string, number>()
  plan.stages.forEach((stage, number) => {
    if (!numbers.has(stage.name)) numbers.set(stage.name, number)
  })

  // Where the ways lead does not depend on what speaks against them, so that a first list gives the targets.
  const rough = listWays(
    plan,
    numbers,
    plan.stages.map(() => 0),
    () => null,
  )
  const begins = targetsAtBeginning(plan, rough, beer)
  const circumstances = plan.stages.map((stage, number): Omit<Circumstances, 'taskCanBeDone'> => {
    return {
      say,
      beer,
      hasTarget: stage.course.kind !== 'leave alone',
      kept_C: keptBetween(stage, begins[number] ?? null, vessel),
    }
  })
  const judge = (stage: number, condition: Condition, taskCanBeDone: TaskCanBeDone) =>
    neverTogether([condition], {
      ...circumstances[stage]!,
      taskCanBeDone: task => taskCanBeDone(stage, task),
    })
  const taskCanBeDone = findTasksThatCome(plan, rough, judge)
  const neverIn = (stage: number, condition: Condition) => judge(stage, condition, taskCanBeDone)
  const reach_s = plan.stages.map((stage, number) => leastReach_s(stage, begins[number] ?? null))
  const ways = listWays(plan, numbers, reach_s, neverIn)

  return {
    plan,
    ...(vessel ? { vessel } : {}),
    ...(beer ? { beer } : {}),
    finish,
    say,
    ways,
    begins,
    reachable: reachableFromStart(ways),
    neverIn,
    neverTogether: conditions =>
      neverTogether(conditions, {
        say,
        beer,
        taskCanBeDone: task => taskCanBeDone(finish, task),
        hasTarget: true,
        kept_C: null,
      }),
  }
}

/** Between which temperatures a controlled stage keeps the beer; null where the yeast or the room decides. */
function keptBetween(stage: Stage, begin: Span_C | null, vessel: Vessel | undefined): Span_C | null {
  const { course } = stage
  if (course.kind !== 'hold' && course.kind !== 'ramp') return null
  if (!begin && !(course.kind === 'ramp' && course.from_C !== undefined)) return null
  const span = namedTargets_C(course).reduce<Span_C | null>(
    (joined, target) => joinSpans(joined, { lowest: target, highest: target }),
    begin,
  )
  return (
    span && {
      lowest: vessel && !vessel.heater ? Number.NEGATIVE_INFINITY : span.lowest,
      highest: vessel && !vessel.cooler ? Number.POSITIVE_INFINITY : span.highest,
    }
  )
}

/** A ramp's target counts as reached a little before it has arrived, so that the last °C is not counted. */
function leastReach_s(stage: Stage, begin: Span_C | null): number {
  const whole = rampTime_s(stage.course, begin) ?? 0
  if (stage.course.kind !== 'ramp') return 0
  const rate = stage.course.rate_K_per_s
  return rate ? Math.max(0, whole - 1 / rate) : whole * 0.9
}

function reachableFromStart(ways: readonly (readonly Way[])[]): readonly boolean[] {
  const reached = ways.map(() => false)
  const open = ways.length > 0 ? [0] : []
  while (open.length > 0) {
    const stage = open.pop()!
    if (reached[stage]) continue
    reached[stage] = true
    const onward = ways[stage]!
    for (const way of onward) if (way.to >= 0 && way.to < ways.length) open.push(way.to)
    // A stage that never ends is reported itself; those behind it are not, for the same fault.
    if (onward.length === 0 && stage + 1 < ways.length) open.push(stage + 1)
  }
  return reached
}

/** The most trusted instrument for a quantity, with its channel. */
export function inCharge(
  vessel: Vessel,
  quantity: QuantityName,
): { readonly instrument: Instrument; readonly channel: Channel } | null {
  const order = Object.hasOwn(vessel.trust, quantity) ? (vessel.trust[quantity] ?? []) : []
  const first = order[0]
  const all = instrumentsFor(vessel, quantity)
  const instrument = all.find(one => one.name === first) ?? all[0]
  const channel = instrument?.channels.find(one => one.quantity === quantity)
  return instrument && channel ? { instrument, channel } : null
}

export function instrumentsFor(vessel: Vessel, quantity: QuantityName): readonly Instrument[] {
  return vessel.instruments.filter(one => one.channels.some(channel => channel.quantity === quantity))
}

/** The control settings that hold in a stage; with no stage: those of the vessel and the plan. */
export function settingsIn(vessel: Vessel, plan: Plan, stage?: Stage): ControlSettings {
  return { ...vessel.control, ...plan.control, ...stage?.control }
}

export function volume_L(context: ProofContext & { readonly vessel: Vessel }): number {
  return context.beer?.volume_L ?? context.vessel.volume_L.value
}
