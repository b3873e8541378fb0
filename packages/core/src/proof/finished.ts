import type { Condition } from '../plan/plan.ts'
import type { Atom } from './conditions/walk.ts'
import { isAtom } from './conditions/walk.ts'
import type { ProofContext } from './context.ts'
import { isBarred, type Way } from './ways.ts'

/** What a way out of a stage proves about the fermentation when it is taken. */
export type Proves = (atom: Atom) => boolean

/**
 * By stage, and for the finish behind the last: whether it can be reached without any way that proves something. A
 * question counts as proof, because a person has looked.
 */
export function reachableUnproved(context: ProofContext, proves: Proves): readonly boolean[] {
  const { ways, finish } = context
  const reached = new Array<boolean>(finish + 1).fill(false)
  const open = finish > 0 ? [0] : []
  while (open.length > 0) {
    const stage = open.pop()!
    if (reached[stage]) continue
    reached[stage] = true
    for (const way of ways[stage] ?? []) if (!isBarred(way) && !isProof(way, proves)) open.push(way.to)
  }
  return reached
}

export function isProof(way: Way, proves: Proves): boolean {
  return way.asks || (way.condition !== undefined && rests(way.condition, true, proves))
}

/** Whether the condition can only be true when something in it proves it. */
function rests(condition: Condition, wanted: boolean, proves: Proves): boolean {
  if (isAtom(condition)) return wanted && (condition.kind === 'done' || proves(condition))
  if (condition.kind === 'not') return rests(condition.of, !wanted, proves)
  return (condition.kind === 'all') === wanted
    ? condition.of.some(part => rests(part, wanted, proves))
    : condition.of.length > 0 && condition.of.every(part => rests(part, wanted, proves))
}

/** A point a day: what a float can tell from nothing. Common practice, no source. */
const STILL_SG_PER_S = 0.001 / 86_400

/** The gravity no longer falls. */
export const provesSteady: Proves = atom =>
  (atom.kind === 'steady' && atom.quantity === 'gravity') ||
  (atom.kind === 'fall' && atom.relation === 'at most' && atom.rate_per_s <= STILL_SG_PER_S)

/** This near to the final gravity the yeast may be chilled, specific gravity. Common practice, no source. */
export const NEAR_FINAL_SG = 0.003

/** The gravity no longer falls, or is this near to the expected final one. */
export function provesNear({ beer }: ProofContext, near_SG: number): Proves {
  return atom => {
    if (provesSteady(atom)) return true
    const final = beer?.finalGravity.value
    if (atom.kind === 'attenuation')
      return (
        beer === undefined ||
        beer.originalGravity - atom.atLeast * (beer.originalGravity - 1) <= final! + near_SG
      )
    if (atom.kind !== 'compare' || atom.quantity !== 'gravity' || atom.relation !== 'at most') return false
    return atom.against.kind === 'value'
      ? final === undefined || atom.against.value <= final + near_SG
      : atom.against.difference <= near_SG
  }
}
