import type { Condition, Stage } from '../../plan/plan.ts'

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
