/** A thread of `simulated.ts`: each job is one batch by its number, or one replicate of the calibration. */
import { parentPort } from 'node:worker_threads'
import { readLearned } from '@attemper/core/beer-reading/learned.ts'
import { LEARNED_BATCHES } from '@attemper/core/beer-reading/learned-batches.ts'
import { pool, priorFrom } from '@attemper/core/beer-reading/pool.ts'
import { ranksOf } from './calibration.ts'
import { outcomeOf } from './ended.ts'

export interface Job {
  readonly kind: 'batch' | 'replicate'
  readonly number: number
  readonly seed: number
}

const prior = priorFrom(pool(readLearned(LEARNED_BATCHES)))

parentPort!.on('message', ({ kind, number, seed }: Job) => {
  parentPort!.postMessage(kind === 'batch' ? outcomeOf(number, seed) : ranksOf(prior, seed, number))
})
