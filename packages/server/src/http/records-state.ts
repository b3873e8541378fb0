import type { StorageProblem } from '@attemper/core/readiness/check.ts'
import type { HttpParts } from './http-app.ts'

/** What keeps the records from being written, or soon will; null: nothing that is known. */
export function recordsProblem({
  alarms,
  storageProblem,
}: Pick<HttpParts, 'alarms' | 'storageProblem'>): StorageProblem | null {
  const isFailing = alarms
    .list()
    .some(({ code, awaySince_s }) => code === 'storage-trouble' && awaySince_s === null)
  return isFailing ? { kind: 'failing' } : (storageProblem?.() ?? null)
}

/** The same for those who watch over the process: nobody can write into less than a megabyte for long. */
export function recordsState(
  parts: Pick<HttpParts, 'alarms' | 'storageProblem'>,
): 'kept' | 'little room' | 'failing' {
  const problem = recordsProblem(parts)
  if (problem === null) return 'kept'
  return problem.kind === 'little room' && problem.free_MB >= 1 ? 'little room' : 'failing'
}
