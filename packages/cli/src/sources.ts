import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { findingsSummary, findingText, type Verdicts } from '@attemper/core/report/finding-text.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { headingFor, type Io } from './io.ts'
import { readText } from './text-file.ts'

/** The files that a command was given, as read. A part is null when its file has errors or was not given. */
export interface Sources {
  readonly plan: Plan | null
  readonly vessel: Vessel | null
  readonly beer: Beer | null
  readonly findings: readonly Finding[]
  /** By the file's name as given: its text, to quote lines from. */
  readonly texts: ReadonlyMap<string, string>
  readonly files: SourceFiles
}

export interface SourceFiles {
  readonly plan: string
  readonly vessel?: string | undefined
  readonly beer?: string | undefined
}

/** Reads the files; UsageError when one of them can not be read at all. */
export function readSources(files: SourceFiles, folder: string): Sources {
  const texts = new Map<string, string>()
  const textOf = (file: string) => {
    const text = readText(file, folder)
    texts.set(file, text)
    return text
  }
  const plan = readPlan(textOf(files.plan), files.plan)
  const vessel = files.vessel === undefined ? null : readVessel(textOf(files.vessel), files.vessel)
  const beer = files.beer === undefined ? null : readBeer(textOf(files.beer), files.beer)
  return {
    plan: plan.plan,
    vessel: vessel?.vessel ?? null,
    beer: beer?.beer ?? null,
    findings: [...plan.findings, ...(vessel?.findings ?? []), ...(beer?.findings ?? [])],
    texts,
    files,
  }
}

/** Findings as text with their lines quoted, a blank line between two, and the summary. */
export function findingsText(
  findings: readonly Finding[],
  texts: ReadonlyMap<string, string>,
  io: Io,
  verdicts?: Verdicts,
): string {
  const style = { width: io.columns, heading: headingFor(io) }
  const blocks = findings.map(finding => findingText(finding, texts.get(finding.file), style))
  return `${[...blocks, findingsSummary(findings, verdicts)].join('\n\n')}\n`
}

export function hasErrors(findings: readonly Finding[]): boolean {
  return findings.some(finding => finding.severity === 'error')
}
