import type { Place } from '../../place.ts'
import { actingIn } from '../../units/plain-text.ts'
import type { ProofContext } from '../context.ts'
import type { Complaint, Rule } from '../rule.ts'

export const actingCharacters: Rule = {
  code: 'acting-characters',
  severity: 'error',
  title:
    'A name or a question with a character that does something instead of showing something, such as ESC.',
  why: 'It would be a command to a terminal that shows the name, ring its bell, or make it read as another name.',
  check: context =>
    namesIn(context).flatMap(({ file, name, place }): readonly Complaint[] => {
      const acting = actingIn(name)
      if (acting === null) return []
      const message = `Here stands a character that can not be seen (${acting}).`
      return [{ file, place, message, cure: 'Write it anew, with letters, digits and signs only.' }]
    }),
}

interface Named {
  readonly file: Complaint['file']
  readonly name: string
  readonly place: Place
}

function namesIn({ plan, vessel, beer }: ProofContext): readonly Named[] {
  const inPlan = (name: string | undefined, place: Place): readonly Named[] =>
    name === undefined ? [] : [{ file: 'plan', name, place }]
  return [
    ...inPlan(plan.name, plan.place),
    ...plan.stages.flatMap(stage => [
      ...inPlan(stage.name, stage.places.name),
      ...inPlan(stage.question, stage.place),
      ...stage.branches.flatMap(({ question, place }) => inPlan(question, place)),
      ...stage.tasks.flatMap(({ name, place }) => inPlan(name, place)),
    ]),
    ...(vessel === undefined ? [] : [{ file: 'vessel' as const, name: vessel.name, place: vessel.place }]),
    ...(vessel?.instruments ?? []).map(({ name, place }) => ({ file: 'vessel' as const, name, place })),
    ...(beer === undefined ? [] : [{ file: 'beer' as const, name: beer.name, place: beer.place }]),
    ...(beer?.yeast === undefined
      ? []
      : [{ file: 'beer' as const, name: beer.yeast.name, place: beer.place }]),
  ]
}
