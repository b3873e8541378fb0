import { readFileSync } from 'node:fs'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { prepare, type Setup } from '@attemper/core/rehearsal/setup.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'

const DAY_S = 86_400
export const DAYS = 14
const SEED = 1

/** The plan, vessel and beer of the bench, ready to be run. */
export function benchSetup(): Setup {
  const { plan, findings: ofPlan } = readPlan(textOf('plan'), nameOf('plan'))
  const { vessel, findings: ofVessel } = readVessel(textOf('vessel'), nameOf('vessel'))
  const { beer, findings: ofBeer } = readBeer(textOf('beer'), nameOf('beer'))
  if (plan === null || vessel === null || beer === null) {
    throw new Error(`bench: ${[...ofPlan, ...ofVessel, ...ofBeer].map(say).join('; ')}`)
  }
  return prepare(plan, vessel, beer, { seed: SEED, horizon_s: DAYS * DAY_S })
}

const nameOf = (what: string) => `fourteen-days.${what}.yaml`

function textOf(what: string): string {
  return readFileSync(new URL(`./${nameOf(what)}`, import.meta.url), 'utf8')
}

const say = ({ file, line, message }: Finding) => `${file}:${line}: ${message}`

/** The same with instruments that make no errors. */
export function noiseFree(setup: Setup): Setup {
  const { plan, vessel, beer, seed, horizon_s } = setup
  const instruments = vessel.instruments.map(instrument => ({
    ...instrument,
    channels: instrument.channels.map(channel => ({ ...channel, noise: 0, resolution: 0, foam: 0 })),
  }))
  return prepare(plan, { ...vessel, instruments }, beer, { seed, horizon_s })
}
