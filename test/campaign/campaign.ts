/**
 * `npm run campaign -- --years N --seed S`: stories of whole cellars, drawn from a seed, at thousands of times real speed,
 * with everything going wrong at random and together; each invariant is judged at every step (invariants.ts). A story that
 * breaks one is told by its seed, and `--seed THAT --years 0 --trace` tells the same story again, line by line.
 */
import { availableParallelism } from 'node:os'
import { parseArgs } from 'node:util'
import { Worker } from 'node:worker_threads'
import { type CampaignResult, emptyResult, isGood, joinEpisode, printResult } from './campaign-result.ts'
import type { EpisodeResult } from './episode.ts'
import { isMutation, MUTATIONS } from './mutations.ts'
import type { WorkerAsk } from './worker.ts'

const { values } = parseArgs({
  options: {
    years: { type: 'string', default: '1' },
    seed: { type: 'string', default: '1' },
    workers: { type: 'string' },
    without: { type: 'string' },
    json: { type: 'boolean', default: false },
    trace: { type: 'boolean', default: false },
  },
})

/** Runs stories until the vessels have lived so many years together, or (`untilBroken`) one of them breaks something. */
async function campaign(years: number, seed: number): Promise<CampaignResult> {
  const result = emptyResult()
  const count = values.trace ? 1 : Math.max(1, Number(values.workers ?? availableParallelism()))
  let next = seed
  // Stories are counted in the order of their seeds, so that any number of workers has the same result.
  const waiting = new Map<number, EpisodeResult>()
  let counted = seed
  const isDone = () => result.years >= years && result.stories > 0
  const work = async () => {
    const worker = new Worker(new URL('./worker.ts', import.meta.url), {
      workerData: { without: values.without ?? null, trace: values.trace },
    })
    try {
      while (!isDone()) {
        const ask: WorkerAsk = { seed: next++ }
        waiting.set(ask.seed, await answerOf(worker, ask))
        for (let each = waiting.get(counted); each !== undefined && !isDone(); each = waiting.get(counted)) {
          waiting.delete(counted++)
          joinEpisode(result, each)
        }
      }
    } finally {
      await worker.terminate()
    }
  }
  await Promise.all(Array.from({ length: count }, work))
  return result
}

function answerOf(worker: Worker, ask: WorkerAsk): Promise<EpisodeResult> {
  return new Promise((resolve, reject) => {
    worker.removeAllListeners()
    worker.once('message', resolve)
    worker.once('error', reject)
    worker.once('exit', code =>
      reject(new Error(`A worker ended with ${code} in the story of seed ${ask.seed}.`)),
    )
    worker.postMessage(ask)
  })
}

const { without } = values
if (without !== undefined && !isMutation(without)) {
  console.error(
    `There is no mend "${without}" to be taken out; there are: ${Object.keys(MUTATIONS).join(', ')}.`,
  )
  process.exit(2)
}
const began_ms = performance.now()
const result = await campaign(Number(values.years), Number(values.seed))
const took_s = (performance.now() - began_ms) / 1000
console.log(values.json ? JSON.stringify({ ...result, took_s }) : printResult(result, took_s))
process.exitCode = isGood(result) ? 0 : 1
