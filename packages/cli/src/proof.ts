import type { Finding } from '@attemper/core/finding.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { Sources } from './sources.ts'

/** What the readers found, then what the proof-reader found in what could be read. */
export function allFindings(sources: Sources, units: DisplayUnits): readonly Finding[] {
  const { plan, vessel, beer, findings, files } = sources
  if (plan === null) return findings
  const proof = proofRead({
    plan,
    planFile: files.plan,
    vessel: vessel ?? undefined,
    vesselFile: files.vessel,
    beer: beer ?? undefined,
    beerFile: files.beer,
    units,
  })
  return [...findings, ...proof]
}
