import { statfsSync } from 'node:fs'
import type { StorageProblem } from '@attemper/core/readiness/check.ts'

/** Below this, weeks of readings may not find room. A cellar of ten vessels writes less than 2 MB a day. */
const LEAST_FREE_B = 100e6

/** What is wrong with the disk that the records lie on; null: there is room. */
export function diskProblem(folder: string, least_B: number = LEAST_FREE_B): StorageProblem | null {
  const free_B = freeOn(folder)
  if (free_B === null) return { kind: 'disk not seen', folder }
  return free_B >= least_B ? null : { kind: 'little room', free_MB: Math.floor(free_B / 1e6) }
}

/** Free on the disk of a folder for whoever runs the cellar, bytes; null: it can not be looked at. */
export function freeOn(folder: string): number | null {
  try {
    const { bavail, bsize } = statfsSync(folder)
    return bavail * bsize
  } catch {
    return null
  }
}
