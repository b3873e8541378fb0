import { readFileSync } from 'node:fs'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import type { RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import { NOMINAL_RUN, simulateRun } from '@attemper/core/rehearsal/run.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { madeUpRehearsal } from '@attemper/core/report/testing/made-up-rehearsal.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { PageInput } from '@attemper/web/rehearsal-page/page-input.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../../examples/${name}`, import.meta.url), 'utf8')

/** A rehearsal that never was, with the nominal run of the first example. */
export function madeUpPage(changes: Partial<RehearsalResult> = {}): PageInput {
  const { plan } = readPlan(example('amber-ale.plan.yaml'), 'plan')
  const { vessel } = readVessel(example('garage-fridge.vessel.yaml'), 'vessel')
  const { beer } = readBeer(example('amber-ale.beer.yaml'), 'beer')
  const setup = prepare(plan!, vessel!, beer!, { seed: 1 })
  return {
    result: madeUpRehearsal(changes),
    nominal: simulateRun(setup, NOMINAL_RUN),
    setup,
    units: { temperature: 'C', gravity: 'SG', volume: 'L' },
    start: { text: '2026-12-04T18:00', local_s: Date.UTC(2026, 11, 4, 18) / 1000 },
    command: "attemper rehearse 'a plan.yaml' --seed 1",
    version: '0.1.0',
  }
}
