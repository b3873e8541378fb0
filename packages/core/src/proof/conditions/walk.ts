import type { Condition, QuantityName, Stage } from '../../plan/plan.ts'

/** A condition that has no parts. */
export type Atom = Exclude<Condition, { readonly kind: 'all' | 'any' } | { readonly kind: 'not' }>

export function isAtom(condition: Condition): condition is Atom {
  return condition.kind !== 'all' && condition.kind !== 'any' && condition.kind !== 'not'
}

/** All conditions without parts below a condition, in the order of the text. */
export function* atomsOf(condition: Condition): Generator<Atom> {
  if (isAtom(condition)) yield condition
  else if (condition.kind === 'not') yield* atomsOf(condition.of)
  else for (const part of condition.of) yield* atomsOf(part)
}

/** Every condition that stands in a stage: of its end, its branches, its tasks and its fallback. */
export function conditionsOf(stage: Stage): readonly Condition[] {
  return [
    ...stage.branches.map(branch => branch.when),
    ...(stage.until ? [stage.until] : []),
    ...(stage.ifUnknown?.then.kind === 'use' ? [stage.ifUnknown.then.instead] : []),
    ...stage.tasks.flatMap(task => (task.when ? [task.when] : [])),
  ]
}

/** Measured quantities without which the condition can not be decided. Empty for times, the calendar and answers. */
export function quantitiesOf(atom: Atom): readonly QuantityName[] {
  switch (atom.kind) {
    case 'compare':
      return atom.against.kind === 'above forecast'
        ? [atom.quantity, 'forecast final gravity']
        : [atom.quantity]
    case 'steady':
      return [atom.quantity]
    case 'attenuation':
    case 'fall':
      return ['gravity']
    case 'near target':
      return ['beer']
    case 'elapsed':
      return atom.since === 'target' ? ['beer'] : []
    case 'calendar':
    case 'time of day':
    case 'done':
      return []
  }
}
