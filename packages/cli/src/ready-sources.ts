import type { Beer } from '@attemper/core/beer/beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { parseLocalDateTime } from '@attemper/core/units/local-time.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { Given } from './command.ts'
import { UsageError } from './exit-status.ts'
import type { Io } from './io.ts'
import { allFindings } from './proof.ts'
import { findingsText, hasErrors, readSources, type SourceFiles } from './sources.ts'

/** Plan, vessel and beer that may be run. */
export interface ReadySources {
  readonly plan: Plan
  readonly vessel: Vessel
  readonly beer: Beer
  readonly files: Required<SourceFiles>
}

/**
 * Reads and proof-reads the three files of a command that runs a plan. Errors are shown on standard error, and null is
 * returned; warnings and notes are only counted there, `attemper check` shows them.
 */
export function readySources(given: Given, io: Io, units: DisplayUnits): ReadySources | null {
  const files = { plan: given.arguments[0]!, vessel: given.text('vessel')!, beer: given.text('beer')! }
  const sources = readSources(files, io.folder)
  const findings = allFindings(sources, units)
  const { plan, vessel, beer } = sources
  if (plan === null || vessel === null || beer === null || hasErrors(findings)) {
    const errors = findings.filter(finding => finding.severity === 'error')
    io.err(findingsText(errors, sources.texts, io))
    return null
  }
  sayCount(findings, files, io)
  return { plan, vessel, beer: started(beer, given.text('start')), files }
}

function sayCount(findings: readonly Finding[], files: Required<SourceFiles>, io: Io): void {
  const warnings = findings.filter(finding => finding.severity === 'warning').length
  if (warnings === 0) return
  const count = warnings === 1 ? 'There is 1 warning' : `There are ${warnings} warnings`
  io.err(
    `${count} about these files: attemper check ${files.plan} --vessel ${files.vessel} --beer ${files.beer}\n`,
  )
}

function started(beer: Beer, wish: string | undefined): Beer {
  if (wish === undefined) return beer
  const parsed = parseLocalDateTime(wish)
  if (!parsed.ok) throw new UsageError(`--start: ${parsed.problem.message} ${parsed.problem.cure}`)
  return { ...beer, start: parsed.value }
}
