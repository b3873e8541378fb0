/**
 * `npm run skill -- --simulated`: how well the end of a batch is told on simulated batches, and whether the estimator is
 * calibrated on its own terms. Batches are shared out to threads; the result does not depend on their number.
 */
import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import { type Flatness, flatnessOf } from './calibration.ts'
import { type EndedResult, type Outcome, ratesOf } from './ended.ts'
import type { Job } from './simulated-worker.ts'

const BATCHES = 510
const REPLICATES = 300
const SEED = 1

export interface Simulated {
  readonly ended: EndedResult
  readonly calibration: readonly Flatness[]
}

export async function simulated(): Promise<Simulated> {
  const jobs = (kind: Job['kind'], count: number) =>
    Array.from({ length: count }, (_, number): Job => ({ kind, number, seed: SEED }))
  const outcomes = await sharedOut<Outcome>(jobs('batch', BATCHES))
  const ranks = await sharedOut<readonly number[]>(jobs('replicate', REPLICATES))
  return { ended: ratesOf(outcomes), calibration: flatnessOf(ranks) }
}

/** The results of jobs in their order, worked out by as many threads as there are processors. */
async function sharedOut<Result>(jobs: readonly Job[]): Promise<readonly Result[]> {
  const results = new Array<Result>(jobs.length)
  let next = 0
  const threads = Array.from({ length: Math.min(availableParallelism(), jobs.length) }, async () => {
    const worker = new Worker(new URL('./simulated-worker.ts', import.meta.url))
    try {
      while (next < jobs.length) {
        const index = next++
        results[index] = await answerOf<Result>(worker, jobs[index]!)
      }
    } finally {
      await worker.terminate()
    }
  })
  await Promise.all(threads)
  return results
}

function answerOf<Result>(worker: Worker, job: Job): Promise<Result> {
  return new Promise((resolve, reject) => {
    const done = (result: Result) => {
      worker.off('error', reject)
      resolve(result)
    }
    worker.once('message', done)
    worker.once('error', reject)
    worker.postMessage(job)
  })
}
