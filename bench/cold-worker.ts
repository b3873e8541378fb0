/** A fresh worker thread does one run, and says when it was up, when its code was loaded, and when the run was done. */
import { parentPort, workerData } from 'node:worker_threads'
import type { JobChunk } from '../packages/cli/src/workers/simulate.ts'

export interface ColdRun {
  /** On the clock that all threads share, ms. */
  readonly up_ms: number
  readonly loaded_ms: number
  readonly done_ms: number
}

const now_ms = () => performance.timeOrigin + performance.now()
const up_ms = now_ms()
const { simulateJobs } = await import('../packages/cli/src/workers/simulate.ts')
const loaded_ms = now_ms()
simulateJobs(workerData as JobChunk)
const answer: ColdRun = { up_ms, loaded_ms, done_ms: now_ms() }
parentPort!.postMessage(answer)
