/** Plans to begin with, each with a vessel and a beer that fit: the project's own examples, as text. */
import { localSeconds } from '../sentences/local-moment.ts'
import { startingAt } from './batch-start.ts'
import type { CaseTexts } from './case.svelte.ts'

export interface Example {
  /** As it stands in the address. */
  readonly name: string
  readonly title: string
  readonly about: string
}

interface ExampleFiles extends Example {
  readonly plan: string
  readonly vessel: string
  readonly beer: string
}

const EXAMPLES: readonly ExampleFiles[] = [
  {
    name: 'amber-ale',
    title: 'Amber ale with a warm finish',
    about: 'A bucket in a larder fridge in a garage: held, warmed at the end, then chilled.',
    plan: 'amber-ale.plan.yaml',
    vessel: 'garage-fridge.vessel.yaml',
    beer: 'amber-ale.beer.yaml',
  },
  {
    name: 'lager',
    title: 'Lager',
    about: 'The same fridge: cold from the beginning, with a rest, and weeks of cold at the end.',
    plan: 'lager.plan.yaml',
    vessel: 'garage-fridge.vessel.yaml',
    beer: 'lager.beer.yaml',
  },
  {
    name: 'step-mash',
    title: 'Step mash',
    about: 'An electric kettle on the hot side: rests that count from when the target is reached.',
    plan: 'step-mash.plan.yaml',
    vessel: 'electric-kettle.vessel.yaml',
    beer: 'mash.beer.yaml',
  },
]

/** In the order in which they are offered. */
export const examples: readonly Example[] = EXAMPLES

const files = import.meta.glob<string>('../../../../examples/*.{plan,vessel,beer}.yaml', {
  query: '?raw',
  import: 'default',
})

/** Whole hours: nobody pitches by the minute. */
const HOUR_s = 3600

/** With a start within the next hour, on the clock of whoever looks. null: there is no example of this name. */
export async function exampleTexts(
  name: string,
  now_s = localSeconds(Date.now()),
): Promise<CaseTexts | null> {
  const example = EXAMPLES.find(each => each.name === name)
  if (example === undefined) return null
  const textOf = (file: string) => files[`../../../../examples/${file}`]!()
  const [plan, vessel, beer] = await Promise.all([
    textOf(example.plan),
    textOf(example.vessel),
    textOf(example.beer),
  ])
  return { plan, vessel, beer: startingAt(beer, Math.ceil(now_s / HOUR_s) * HOUR_s) }
}
