import { statfsSync } from 'node:fs'

/** Below this, weeks of readings may not find room. A cellar of ten vessels writes less than 2 MB a day. */
const LEAST_FREE_B = 100e6

/** What is wrong with the disk that the records lie on, as half a sentence; null: there is room. */
export function diskProblem(folder: string, least_B: number = LEAST_FREE_B): string | null {
  let free_B: number
  try {
    const { bavail, bsize } = statfsSync(folder)
    free_B = bavail * bsize
  } catch {
    return `The disk with the folder ${folder} can not be looked at`
  }
  return free_B >= least_B ? null : `Only ${Math.floor(free_B / 1e6)} MB are free on the disk of the records`
}
