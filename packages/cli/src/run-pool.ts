import { availableParallelism } from 'node:os'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { Tinypool } from 'tinypool'
import { type Job, type JobAnswer, simulateJobs } from './workers/simulate.ts'

/** How many workers `--workers` may name, and the usual number. */
export const MOST_WORKERS = 64

export function usualWorkers(): number {
  return Math.min(MOST_WORKERS, availableParallelism())
}

/** Small enough that all workers end at about the same time, and that progress moves. */
const MOST_JOBS_AT_ONCE = 8

/** Of new objects in each worker, MB. A run leaves next to nothing that lives on, so with more room they only take more memory. */
const ROOM_FOR_NEW_MB = 12

/**
 * Does the jobs, in worker threads when there is more than one worker, and returns the answers in the order of the jobs:
 * the result is the same whatever the number of workers.
 */
export async function runJobs(
  setup: Setup,
  jobs: readonly Job[],
  workers: number,
  progress: (done: number) => void,
): Promise<readonly JobAnswer[]> {
  const size = Math.max(1, Math.min(MOST_JOBS_AT_ONCE, Math.ceil(jobs.length / (workers * 4))))
  const chunks: Job[][] = []
  for (let from = 0; from < jobs.length; from += size) chunks.push(jobs.slice(from, from + size))
  let done = 0
  const count = (answers: readonly JobAnswer[]) => {
    done += answers.length
    progress(done)
    return answers
  }
  if (workers === 1 || chunks.length === 1) {
    return chunks.flatMap(chunk => count(simulateJobs({ setup, jobs: chunk })))
  }
  const pool = new Tinypool({
    filename: new URL('./workers/simulate.ts', import.meta.url).href,
    runtime: 'worker_threads',
    minThreads: 1,
    maxThreads: Math.min(workers, chunks.length),
    isolateWorkers: false,
    resourceLimits: { maxYoungGenerationSizeMb: ROOM_FOR_NEW_MB },
  })
  try {
    const answers = await Promise.all(
      chunks.map(async chunk => count((await pool.run({ setup, jobs: chunk })) as readonly JobAnswer[])),
    )
    return answers.flat()
  } finally {
    await pool.destroy()
  }
}
