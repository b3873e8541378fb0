import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { describe, expect, it } from 'vitest'

const FOLDER = join(import.meta.dirname, '..', '..', 'examples')

/** What belongs together; each example stands here at least once. */
const TOGETHER = [
  ['amber-ale.plan.yaml', 'garage-fridge.vessel.yaml', 'amber-ale.beer.yaml'],
  ['amber-ale.plan.yaml', 'bucket-with-pad.vessel.yaml', 'amber-ale.beer.yaml'],
  ['amber-ale.plan.yaml', 'jacketed-tank.vessel.yaml', 'amber-ale.beer.yaml'],
  ['lager.plan.yaml', 'garage-fridge.vessel.yaml', 'lager.beer.yaml'],
  ['step-mash.plan.yaml', 'electric-kettle.vessel.yaml', 'mash.beer.yaml'],
  ['amber-ale.plan.yaml', 'old-square.vessel.yaml', 'small-trial-1864.beer.yaml'],
] as const

function text(file: string): string {
  return readFileSync(join(FOLDER, file), 'utf8')
}

describe('examples', () => {
  it('are all listed here', () => {
    const files = readdirSync(FOLDER).filter(file => /\.(plan|vessel|beer)\.yaml$/.test(file))
    expect([...new Set<string>(TOGETHER.flat())].sort()).toEqual(files.sort())
  })

  it.each(TOGETHER)('%s in %s with %s can be read, and has no error', (planFile, vesselFile, beerFile) => {
    const { plan, findings: inPlan } = readPlan(text(planFile), planFile)
    const { vessel, findings: inVessel } = readVessel(text(vesselFile), vesselFile)
    const { beer, findings: inBeer } = readBeer(text(beerFile), beerFile)
    expect([...inPlan, ...inVessel, ...inBeer]).toEqual([])
    if (plan === null || vessel === null || beer === null)
      throw new Error('read without findings, but not read')
    const findings = proofRead({ plan, planFile, vessel, vesselFile, beer, beerFile })
    expect(findings.filter(finding => finding.severity === 'error')).toEqual([])
  })
})
