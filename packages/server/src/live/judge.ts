import { type BatchCase, type BatchTexts, FILES, readCase } from '@attemper/core/batch/batch-case.ts'
import type { Finding } from '@attemper/core/finding.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'

/** What the readers and the proof-reader say about the three texts; `batch` is null when they can not be run at all. */
export interface Judgement {
  readonly batch: BatchCase | null
  readonly findings: readonly Finding[]
}

export function judge(texts: BatchTexts): Judgement {
  const { batch, findings } = readCase(texts)
  if (batch === null) return { batch, findings }
  const proof = proofRead({
    plan: batch.plan,
    planFile: FILES.plan,
    vessel: batch.vessel,
    vesselFile: FILES.vessel,
    beer: batch.beer,
    beerFile: FILES.beer,
  })
  return { batch, findings: [...findings, ...proof] }
}

export function errorsIn(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter(({ severity }) => severity === 'error')
}

/** "plan:12: the sentence": a finding in one line. */
export function lineOf({ file, line, message }: Finding): string {
  return `${file}:${line}: ${message}`
}
