import type { Beer } from '../../beer/beer.ts'
import type { Condition } from '../../plan/plan.ts'
import type { Say } from '../say.ts'
import { type Atom, isAtom } from './walk.ts'

/**
 * Can a condition ever be true? Bounds of what stands side by side are intersected; of alternatives each is tried
 * with the bounds around it, but never two groups of alternatives against each other. So the walk is linear, and may
 * miss a contradiction, but never invents one.
 */
export interface Circumstances {
  readonly say: Say
  readonly beer?: Beer | undefined
  /** Whether somebody can have answered this task by then. */
  readonly taskCanBeDone: (task: string) => boolean
  /** Nothing is aimed at in a stage that leaves the vessel alone. */
  readonly hasTarget: boolean
  /** Between which temperatures the stage keeps the beer, °C; null: not known. */
  readonly kept_C: { readonly lowest: number; readonly highest: number } | null
}

export interface Never {
  /** A clause that follows "because". */
  readonly why: string
  /** Certain: by logic alone. Otherwise: by what the beer and the vessel are expected to do. */
  readonly certain: boolean
}

interface Signed {
  readonly condition: Condition
  readonly wanted: boolean
}

interface Bound {
  readonly lower: number
  readonly upper: number
  readonly lowerOpen: boolean
  readonly upperOpen: boolean
}

const ANYTHING: Bound = {
  lower: Number.NEGATIVE_INFINITY,
  upper: Number.POSITIVE_INFINITY,
  lowerOpen: false,
  upperOpen: false,
}

/** Bounds known here, on top of those that hold around it. */
class Bounds {
  private readonly own = new Map<string, Bound>()
  private readonly around: Bounds | null
  readonly clocks: (readonly [number, number])[]

  constructor(around: Bounds | null) {
    this.around = around
    this.clocks = around ? [...around.clocks] : []
  }

  get(key: string): Bound {
    return this.own.get(key) ?? this.around?.get(key) ?? ANYTHING
  }

  /** False when nothing is left between the bounds. */
  narrow(key: string, side: 'lower' | 'upper', value: number, open: boolean): boolean {
    const before = this.get(key)
    const tighter =
      side === 'lower'
        ? value > before.lower || (value === before.lower && open)
        : value < before.upper || (value === before.upper && open)
    const after = !tighter
      ? before
      : side === 'lower'
        ? { ...before, lower: value, lowerOpen: open }
        : { ...before, upper: value, upperOpen: open }
    this.own.set(key, after)
    return after.lower < after.upper || (after.lower === after.upper && !after.lowerOpen && !after.upperOpen)
  }
}

/** Why none of the ways in which all of these could be true together exists; null when nothing speaks against it. */
export function neverTogether(conditions: readonly Condition[], around: Circumstances): Never | null {
  return refute(
    conditions.map(condition => ({ condition, wanted: true })),
    new Bounds(null),
    around,
  )
}

function refute(parts: readonly Signed[], bounds: Bounds, around: Circumstances): Never | null {
  const open = [...parts].reverse()
  const groups: (readonly Signed[])[] = []
  let doubt: Never | null = null
  while (open.length > 0) {
    const { condition, wanted } = open.pop()!
    // That something has not lasted does not say that it is not so.
    if (!wanted && condition.lasting_s > 0) continue
    if (isAtom(condition)) {
      const never = narrow(condition, wanted, bounds, around)
      if (never?.certain) return never
      doubt ??= never
    } else if (condition.kind === 'not') open.push({ condition: condition.of, wanted: !wanted })
    else {
      const inner = condition.of.map(part => ({ condition: part, wanted }))
      if ((condition.kind === 'all') === wanted) open.push(...inner.reverse())
      else groups.push(inner)
    }
  }
  for (const group of groups) {
    const refuted: Never[] = []
    for (const part of group) {
      const never = refute([part], new Bounds(bounds), around)
      if (!never) break
      refuted.push(never)
    }
    if (refuted.length < group.length) continue
    const certain = refuted.every(never => never.certain)
    const why = refuted[0]?.why ?? 'it has no parts'
    if (certain) return { why, certain }
    doubt ??= { why, certain }
  }
  return doubt
}

/** Slack for what a float shows and what a beer does, specific gravity. */
const GRAVITY_SLACK = 0.002
const KEPT_SLACK_K = 1

function narrow(atom: Atom, wanted: boolean, bounds: Bounds, around: Circumstances): Never | null {
  const { say } = around
  switch (atom.kind) {
    case 'elapsed':
      if (wanted && atom.since === 'target' && !around.hasTarget)
        return { why: 'a stage that leaves the vessel alone has no target to reach', certain: true }
      return pressed(
        bounds.narrow(`elapsed since ${atom.since}`, wanted ? 'lower' : 'upper', atom.atLeast_s, !wanted),
        `${say.time(atom.atLeast_s)} are asked for and ruled out at once`,
      )
    case 'compare':
      return narrowByComparison(atom, wanted, bounds, around)
    case 'attenuation':
      return narrowByAttenuation(atom, wanted, bounds, around)
    case 'fall':
      return pressed(
        bounds.narrow(
          `fall over ${atom.over_s}`,
          wanted === (atom.relation === 'at least') ? 'lower' : 'upper',
          atom.rate_per_s,
          !wanted,
        ),
        'the gravity would have to fall both faster and slower than that',
      )
    case 'steady':
      return eitherOr(
        `steady ${atom.quantity} ${atom.within} ${atom.for_s}`,
        wanted,
        bounds,
        `a steady ${atom.quantity}`,
      )
    case 'near target':
      if (wanted && !around.hasTarget)
        return { why: 'a stage that leaves the vessel alone has no target to be near', certain: true }
      return eitherOr(`near target ${atom.within_K}`, wanted, bounds, 'the beer near its target')
    case 'calendar': {
      const start = around.beer?.start
      if (!wanted && start && start.local_s >= atom.from.local_s)
        return { why: `the batch starts on ${start.text}, after ${atom.from.text}`, certain: true }
      return pressed(
        bounds.narrow('calendar', wanted ? 'lower' : 'upper', atom.from.local_s, !wanted),
        'the date is asked for and ruled out at once',
      )
    }
    case 'time of day':
      bounds.clocks.push(wanted ? [atom.from_s, atom.to_s] : [atom.to_s, atom.from_s])
      return pressed(clocksMeet(bounds.clocks), 'the times of day that it asks for never come together')
    case 'done':
      if (wanted && !around.taskCanBeDone(atom.task))
        return { why: `the task '${atom.task}' is never given in this stage or before it`, certain: true }
      return eitherOr(`done ${atom.task}`, wanted, bounds, `the answer to '${atom.task}'`)
  }
}

/** `possible`: there is still something between the bounds. */
function pressed(possible: boolean, why: string): Never | null {
  return possible ? null : { why, certain: true }
}

function eitherOr(key: string, wanted: boolean, bounds: Bounds, what: string): Never | null {
  const possible = bounds.narrow(key, wanted ? 'lower' : 'upper', wanted ? 1 : 0, false)
  return pressed(possible, `${what} is asked for and ruled out at once`)
}

function narrowByComparison(
  atom: Atom & { readonly kind: 'compare' },
  wanted: boolean,
  bounds: Bounds,
  around: Circumstances,
): Never | null {
  const { quantity, relation, against } = atom
  const { say } = around
  const side = wanted === (relation === 'at least') ? 'lower' : 'upper'
  const final = around.beer?.finalGravity.value
  if (against.kind === 'above forecast' || (against.kind === 'above final' && final === undefined))
    return pressed(
      bounds.narrow(`${quantity} ${against.kind}`, side, against.difference, !wanted),
      `the ${quantity} would have to be both above and below the same mark`,
    )
  const value = against.kind === 'value' ? against.value : final! + against.difference
  const before = bounds.get(quantity)
  const [lower, upper] = side === 'lower' ? [value, before.upper] : [before.lower, value]
  const clash = pressed(
    bounds.narrow(quantity, side, value, !wanted),
    `the ${quantity} would have to be at least ${say.value(quantity, lower)} and at most ${say.value(quantity, upper)}`,
  )
  return (
    clash ??
    (quantity === 'gravity' ? beyondTheYeast(value, side, around) : null) ??
    (quantity === 'beer' ? beyondTheCourse(value, side, around) : null)
  )
}

function narrowByAttenuation(
  atom: Atom & { readonly kind: 'attenuation' },
  wanted: boolean,
  bounds: Bounds,
  around: Circumstances,
): Never | null {
  const { say } = around
  if (wanted && atom.atLeast > 1)
    return { why: `an attenuation of ${say.share(atom.atLeast)} is more than there is`, certain: true }
  const original = around.beer?.originalGravity
  if (original === undefined)
    return pressed(
      bounds.narrow('attenuation', wanted ? 'lower' : 'upper', atom.atLeast, !wanted),
      'the attenuation is asked for and ruled out at once',
    )
  const gravity = original - atom.atLeast * (original - 1)
  const side = wanted ? 'upper' : 'lower'
  const before = bounds.get('gravity')
  const clash = pressed(
    bounds.narrow('gravity', side, gravity, !wanted),
    wanted
      ? `${say.share(atom.atLeast)} attenuation is ${say.gravity(gravity)}, and the gravity would have to be at least ${say.gravity(before.lower)}`
      : `less than ${say.share(atom.atLeast)} attenuation is above ${say.gravity(gravity)}, and the gravity would have to be at most ${say.gravity(before.upper)}`,
  )
  return clash ?? beyondTheYeast(gravity, side, around)
}

/** A temperature to which the stage never takes the beer. */
function beyondTheCourse(value_C: number, side: 'lower' | 'upper', around: Circumstances): Never | null {
  const { kept_C, say } = around
  if (!kept_C) return null
  if (side === 'lower' && value_C > kept_C.highest + KEPT_SLACK_K)
    return {
      why: `the stage keeps the beer at or below ${say.temperature(kept_C.highest)}, not at ${say.temperature(value_C)}`,
      certain: false,
    }
  if (side === 'upper' && value_C < kept_C.lowest - KEPT_SLACK_K)
    return {
      why: `the stage keeps the beer at or above ${say.temperature(kept_C.lowest)}, not at ${say.temperature(value_C)}`,
      certain: false,
    }
  return null
}

/** A wish beyond what this beer can show: more than it starts with, or less than its yeast leaves. */
function beyondTheYeast(
  gravity: number,
  side: 'lower' | 'upper',
  { beer, say }: Circumstances,
): Never | null {
  if (!beer?.yeast) return null
  const original = beer.originalGravity
  if (side === 'lower' && gravity > original + GRAVITY_SLACK)
    return {
      why: `the beer starts at ${say.gravity(original)} and never is at ${say.gravity(gravity)}`,
      certain: false,
    }
  const least = Math.min(
    beer.finalGravity.value - 2 * beer.finalGravity.sd,
    original - beer.yeast.attenuation.highest * (original - 1),
  )
  if (side === 'upper' && gravity < least - GRAVITY_SLACK)
    return {
      why: `${say.gravity(gravity)} is below ${say.gravity(least)}, the least that this yeast is expected to leave`,
      certain: false,
    }
  return null
}

/** Whether some time of day lies in all the windows; a window whose end is before its beginning spans midnight. */
function clocksMeet(windows: readonly (readonly [number, number])[]): boolean {
  const inside = (time: number, [from, to]: readonly [number, number]) =>
    from <= to ? time >= from && time < to : time >= from || time < to
  return windows.some(([from]) => windows.every(window => inside(from, window)))
}
