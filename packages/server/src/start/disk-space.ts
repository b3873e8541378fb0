import { statfsSync } from 'node:fs'
import type { StorageProblem } from '@attemper/core/readiness/check.ts'

/** Below this, weeks of readings may not find room. A cellar of ten vessels writes less than 2 MB a day. */
const LEAST_FREE_B = 100e6

/** What is wrong with the disk that the records lie on; null: there is room. */
export function diskProblem(folder: string, least_B: number = LEAST_FREE_B): StorageProblem | null {
  let free_B: number
  try {
    const { bavail, bsize } = statfsSync(folder)
    free_B = bavail * bsize
  } catch {
    return { kind: 'disk not seen', folder }
  }
  return free_B >= least_B ? null : { kind: 'little room', free_MB: Math.floor(free_B / 1e6) }
}
