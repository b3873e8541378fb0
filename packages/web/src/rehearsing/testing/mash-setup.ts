import { readFileSync } from 'node:fs'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { prepare, type Setup } from '@attemper/core/rehearsal/setup.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'

const text = (name: string) =>
  readFileSync(new URL(`../../../../../examples/${name}`, import.meta.url), 'utf8')

/** A mash: the shortest of the examples to simulate. */
export function mashSetup(seed: number): Setup {
  const { plan } = readPlan(text('step-mash.plan.yaml'), 'plan')
  const { vessel } = readVessel(text('electric-kettle.vessel.yaml'), 'vessel')
  const { beer } = readBeer(text('mash.beer.yaml'), 'beer')
  return prepare(plan!, vessel!, beer!, { seed })
}
