import { parentPort, workerData } from 'node:worker_threads'
import { takeOut } from './mutations.ts'

export interface WorkerAsk {
  readonly seed: number
}

interface WorkerData {
  readonly without: string | null
  readonly trace: boolean
}

const { without, trace } = workerData as WorkerData
if (without !== null) takeOut(without)
// What is to be taken out has to be known before the cellar is loaded.
const { episode } = await import('./episode.ts')

parentPort!.on('message', async ({ seed }: WorkerAsk) => {
  parentPort!.postMessage(await episode(seed, trace ? { onLine: line => console.log(line) } : {}))
})
