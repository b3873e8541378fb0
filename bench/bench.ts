/**
 * `npm run bench`: how fast, in ratios of one run on one machine; `-- rehearsal`, `-- live` or `-- screens` measures only
 * that part, and `--json` writes the figures as JSON instead. It holds nobody up: a goal that is missed is said, and the exit
 * status is 0.
 */
import { spawnSync } from 'node:child_process'
import { cpus, loadavg, totalmem } from 'node:os'
import { Worker } from 'node:worker_threads'
import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { JobChunk } from '../packages/cli/src/workers/simulate.ts'
import { benchSetup, DAYS, noiseFree } from './bench-setup.ts'
import type { ColdRun } from './cold-worker.ts'
import { engineCall_ns } from './engine-calls.ts'
import { type Figure, figureLine } from './figure.ts'
import { checkEquations, runByGeneralSolver } from './general-solver.ts'
import { liveSections } from './live/live-figures.ts'
import { driveRun } from './one-run.ts'
import { screensSections } from './screens/screens-figures.ts'
import type { ThousandRuns } from './thousand-runs.ts'
import { median, timeOf_ms } from './timing.ts'

const RUNS = 1000
const WORKERS = 2
const WARM_UP = 60
const MEASURED = 60
const COLD_WORKERS = 5
const LONGEST_MS = 120_000
/** A run of the ensemble with nothing unusual about it. */
const RUN = 3
/** Equations that differ by more than this are not the same, K and shares. */
const SAME = 1e-4

function thousandRuns(): readonly Figure[] {
  const script = new URL('./thousand-runs.ts', import.meta.url)
  const child = spawnSync(process.execPath, [script.pathname, `${RUNS}`, `${WORKERS}`], {
    encoding: 'utf8',
    timeout: LONGEST_MS,
  })
  if (child.status !== 0) throw new Error(child.stderr || 'the runs took too long')
  const { wall_s, processor_s, reduce_s, memory_MB, whole } = JSON.parse(child.stdout) as ThousandRuns
  if (whole !== RUNS) throw new Error(`only ${whole} of ${RUNS} runs lasted ${DAYS} days`)
  return [
    {
      name: `${RUNS} runs of ${DAYS} days, ${WORKERS} workers`,
      value: wall_s,
      unit: 's',
      goal: { first: 2.5, aim: 1, better: 'less' },
      note:
        `${(RUNS / wall_s).toFixed(0)} runs/s; processor time of all threads ${processor_s.toFixed(1)} s; ` +
        `adding them up took ${reduce_s.toFixed(2)} s more`,
    },
    {
      name: 'peak memory of that, traces included',
      value: memory_MB,
      unit: 'MB',
      goal: { first: 300, aim: 120, better: 'less' },
    },
  ]
}

/** Processor time of one warm run, each with a plant of its own. */
function warmRun(setup: Setup): Figure {
  for (let run = 1; run <= WARM_UP; run++) simulateRun(setup, run)
  const times_ms = Array.from({ length: MEASURED }, (_, n) =>
    timeOf_ms(() => simulateRun(setup, WARM_UP + n + 1)),
  )
  return {
    name: 'one warm run on one core, median',
    value: median(times_ms),
    unit: 'ms',
    goal: { first: 5, aim: 2, better: 'less' },
    note: `quickest of ${MEASURED}: ${Math.min(...times_ms).toFixed(2)} ms; processor time of the thread`,
  }
}

function generalSolver(setup: Setup, run_ms: number): readonly Figure[] {
  const exact = noiseFree(setup)
  const { heat_K, fermentation } = checkEquations(exact)
  if (!(heat_K < SAME && fermentation < SAME)) {
    throw new Error(`the equations differ: by ${heat_K} K, and by ${fermentation} of the fermentation`)
  }
  const end_s = exact.start_s + exact.horizon_s
  runByGeneralSolver(exact, exact.start_s + 86_400)
  let general = runByGeneralSolver(exact, exact.start_s)
  const general_ms = timeOf_ms(() => {
    general = runByGeneralSolver(exact, end_s)
  })
  const { world, events } = driveRun(exact, 0, { end_s })
  const apart_K = Math.abs(world.truth.beer_C - general.beer_C)
  return [
    {
      name: 'the same through a general adaptive solver (odex)',
      value: general_ms / run_ms,
      unit: 'times',
      goal: { first: 100, aim: 300, better: 'more' },
      note:
        `${general_ms.toFixed(0)} ms without noise; events ${general.events.length} against ${events.length}, ` +
        `beer at the end ${apart_K.toFixed(3)} K apart`,
    },
  ]
}

async function coldRuns(setup: Setup): Promise<readonly Figure[]> {
  const runs_ms: number[] = []
  const wholes_ms: number[] = []
  const loads_ms: number[] = []
  for (let n = 0; n < COLD_WORKERS; n++) {
    const workerData: JobChunk = { setup, jobs: [{ kind: 'run', run: RUN }] }
    const from_ms = performance.timeOrigin + performance.now()
    const worker = new Worker(new URL('./cold-worker.ts', import.meta.url), { workerData })
    const { up_ms, loaded_ms, done_ms } = await new Promise<ColdRun>((resolve, reject) => {
      worker.once('message', resolve)
      worker.once('error', reject)
    })
    await worker.terminate()
    runs_ms.push(done_ms - loaded_ms)
    loads_ms.push(loaded_ms - up_ms)
    wholes_ms.push(done_ms - from_ms)
  }
  return [
    {
      name: 'first run of a cold worker, code loaded',
      value: median(runs_ms),
      unit: 'ms',
      goal: { first: 30, aim: 10, better: 'less' },
      note:
        `from the birth of the thread ${median(wholes_ms).toFixed(0)} ms, ` +
        `of which loading the code ${median(loads_ms).toFixed(0)} ms; clock on the wall`,
    },
  ]
}

function jumping(setup: Setup): readonly Figure[] {
  for (let n = 0; n < 10; n++) driveRun(setup, RUN)
  driveRun(setup, RUN, { everySecond: true })
  let naive = driveRun(setup, 0)
  const naive_ms = timeOf_ms(() => {
    naive = driveRun(setup, RUN, { everySecond: true })
  })
  let jump = naive
  const jump_ms = median(
    Array.from({ length: 15 }, () =>
      timeOf_ms(() => {
        jump = driveRun(setup, RUN)
      }),
    ),
  )
  const isSame = JSON.stringify(jump.events) === JSON.stringify(naive.events)
  return [
    {
      name: 'jumping against the loop over every second',
      value: naive_ms / jump_ms,
      unit: 'times',
      note:
        `${naive_ms.toFixed(0)} ms and ${jump_ms.toFixed(1)} ms; ${jump.calls} of ${naive.calls} calls of the engine, ` +
        `${(100 * (1 - jump.calls / naive.calls)).toFixed(2)} % spared; ` +
        `decisions ${isSame ? 'equal' : 'DIFFER'} (${jump.events.length} events)`,
    },
    ...engineAlone(setup, jump.calls, jump_ms),
  ]
}

function engineAlone(setup: Setup, calls: number, run_ms: number): readonly Figure[] {
  const call_ns = engineCall_ns(setup, RUN)
  const engine_ms = (calls * call_ns) / 1e6
  return [
    {
      name: 'one call of the engine, warm',
      value: call_ns,
      unit: 'ns',
      note: `${calls} calls in a run: ${((100 * engine_ms) / run_ms).toFixed(0)} % of its time`,
    },
  ]
}

type Section = () => readonly Figure[] | Promise<readonly Figure[]>

function rehearsalSections(): readonly Section[] {
  const setup = benchSetup()
  let run_ms = Number.NaN
  return [
    thousandRuns,
    () => {
      const figure = warmRun(setup)
      run_ms = figure.value
      return [figure]
    },
    () => generalSolver(setup, run_ms),
    () => coldRuns(setup),
    () => jumping(setup),
  ]
}

const PARTS: Readonly<Record<string, () => readonly Section[]>> = {
  rehearsal: rehearsalSections,
  live: liveSections,
  screens: screensSections,
}

const words = process.argv.slice(2).filter(word => word !== '--json')
const unknown = words.find(word => !Object.hasOwn(PARTS, word))
if (unknown !== undefined) {
  throw new Error(`There is no part “${unknown}” of the bench; there are: ${Object.keys(PARTS).join(', ')}.`)
}
const sections = (words.length === 0 ? Object.keys(PARTS) : words).flatMap(word => PARTS[word]!())

const isJson = process.argv.includes('--json')
const machine = {
  date: new Date().toISOString(),
  node: process.version,
  machine: `${cpus().length} x ${cpus()[0]?.model.trim() ?? 'unknown'}, ${Math.round(totalmem() / 2 ** 30)} GiB`,
  load: loadavg()[0],
}
if (!isJson) {
  console.log(`${machine.date}  Node ${machine.node}  ${machine.machine}`)
  console.log(`load average before: ${machine.load?.toFixed(1)} (the figures want a quiet machine)\n`)
}
/** With the load average right after it. */
const figures: (Figure & { readonly load: number })[] = []
const failures: string[] = []
for (const section of sections) {
  try {
    const measured = await section()
    const load = loadavg()[0]!
    for (const figure of measured) {
      figures.push({ ...figure, load })
      if (!isJson) console.log(figureLine(figure))
    }
    if (!isJson) console.log(`    load average then: ${load.toFixed(1)}`)
  } catch (error) {
    const failure = error instanceof Error ? error.message : String(error)
    failures.push(failure)
    if (!isJson) console.log(`not measured: ${failure}`)
  }
}
if (isJson) console.log(JSON.stringify({ ...machine, figures, failures }, null, 2))
