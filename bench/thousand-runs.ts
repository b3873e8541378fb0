/** A process of its own, so that its greatest memory is that of the runs: `node bench/thousand-runs.ts <runs> <workers>`. */
import { reduceRuns } from '@attemper/core/rehearsal/reduce.ts'
import { runJobs } from '../packages/cli/src/run-pool.ts'
import { benchSetup, DAYS } from './bench-setup.ts'

export interface ThousandRuns {
  readonly wall_s: number
  /** Processor time of all threads, s. */
  readonly processor_s: number
  /** Adding the runs up to the answer of a rehearsal, s. */
  readonly reduce_s: number
  readonly memory_MB: number
  /** Runs that simulated the whole time. */
  readonly whole: number
}

if (process.argv[1] === import.meta.filename) {
  const runs = Number(process.argv[2])
  const workers = Number(process.argv[3])
  const setup = benchSetup()
  const jobs = Array.from({ length: runs }, (_, n) => ({ kind: 'run', run: n + 1 }) as const)
  const before = process.cpuUsage()
  const from_ms = performance.now()
  const answers = await runJobs(setup, jobs, workers, () => undefined)
  const wall_s = (performance.now() - from_ms) / 1000
  const { user, system } = process.cpuUsage(before)
  const records = answers.flatMap(answer => (answer.kind === 'run' ? [answer.record] : []))
  const reduce_ms = performance.now()
  reduceRuns(setup, records, [])
  const figures: ThousandRuns = {
    wall_s,
    processor_s: (user + system) / 1e6,
    reduce_s: (performance.now() - reduce_ms) / 1000,
    // maxRSS is in kB, for the whole process: worker threads share it.
    memory_MB: process.resourceUsage().maxRSS / 1000,
    whole: records.filter(({ ended_s }) => ended_s === DAYS * 86_400).length,
  }
  process.stdout.write(JSON.stringify(figures))
}
