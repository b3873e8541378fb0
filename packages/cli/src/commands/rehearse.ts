import { writeFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { drillsFor } from '@attemper/core/rehearsal/drills.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { reduceRuns } from '@attemper/core/rehearsal/reduce.ts'
import type { RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import { prepare, type Setup } from '@attemper/core/rehearsal/setup.ts'
import { rehearsalText } from '@attemper/core/report/rehearsal-text.ts'
import {
  BEER_OPTION,
  type Command,
  type Given,
  JSON_OPTION,
  PLAN_ARGUMENT,
  UNIT_OPTIONS,
  VESSEL_OPTION,
} from '../command.ts'
import { commandAgain } from '../command-again.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import { builtPage } from '../html/built-page.ts'
import { rehearsalPage } from '../html/page.ts'
import { headingFor, type Io } from '../io.ts'
import { progressFor } from '../progress.ts'
import { type ReadySources, readySources } from '../ready-sources.ts'
import { MOST_WORKERS, runJobs, usualWorkers } from '../run-pool.ts'
import { unitsFor } from '../settings.ts'
import { shownRun } from '../shown-run.ts'
import { version } from '../version.ts'
import type { Job } from '../workers/simulate.ts'

const USUAL_RUNS = 200
/** Their traces have to fit into memory. */
const MOST_RUNS = 20_000
const MOST_SEED = 0xffff_ffff

export const SEED_OPTION = {
  name: 'seed',
  value: 'N',
  about: 'what the chances are drawn from (usually 1)',
} as const
export const WORKERS_OPTION = {
  name: 'workers',
  value: 'N',
  about: 'worker threads (usually one for each core); the result does not depend on it',
} as const
export const START_OPTION = {
  name: 'start',
  value: 'TIME',
  about: "local time of pitching instead of the beer file's, such as 2026-12-04T18:00",
} as const

export function seedOf(given: Given): number {
  return given.count('seed', 1, 0, MOST_SEED)
}

export function workersOf(given: Given): number {
  return given.count('workers', usualWorkers(), 1, MOST_WORKERS)
}

/** Runs a plan some hundreds of times against the model of the vessel, the yeast and the instruments. */
export const REHEARSE: Command = {
  name: 'rehearse',
  summary:
    'Runs the plan some hundreds of times against a model of this vessel, this yeast and these instruments: when it will be ready, and what could go wrong.',
  arguments: [PLAN_ARGUMENT],
  options: [
    VESSEL_OPTION,
    BEER_OPTION,
    { name: 'runs', value: 'N', about: `how many runs (usually ${USUAL_RUNS}), besides the nominal one` },
    SEED_OPTION,
    WORKERS_OPTION,
    START_OPTION,
    { name: 'no-drills', about: 'leave out the drills' },
    { name: 'show', value: 'RUN', about: 'only this run (0: the nominal one), as a picture and a log' },
    {
      name: 'switches',
      about: 'with --show: also each time that an appliance was switched, set or held back',
    },
    { name: 'html', value: 'FILE', about: 'also write it as one page with charts' },
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: ['vessel', 'beer'],
  examples: [
    'attemper rehearse amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml',
    'attemper rehearse amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml --html amber.html',
    'attemper rehearse amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml --show 37',
  ],
  statuses: {
    good: 'rehearsed, whatever may go wrong in it',
    bad: 'the plan, the vessel or the beer has errors, so that nothing was rehearsed',
  },
  async run(given, io) {
    const units = unitsFor(given, io)
    const seed = seedOf(given)
    const runs = given.count('runs', USUAL_RUNS, 1, MOST_RUNS)
    const workers = workersOf(given)
    const show = given.text('show') === undefined ? null : given.count('show', 0, 0, MOST_RUNS)
    const sources = readySources(given, io, units)
    if (sources === null) return EXIT.bad
    const setup = prepare(sources.plan, sources.vessel, sources.beer, { seed })
    if (show !== null) {
      const output = shownRun(setup, show, { units, width: io.columns, heading: headingFor(io) })
      const switches = given.switch('switches')
      io.out(given.switch('json') ? `${JSON.stringify(output.data, null, 2)}\n` : output.text(switches))
      return EXIT.good
    }
    const page = given.text('html')
    // Whoever can not have a page hears of it before the work is done.
    const built = page === undefined ? null : await builtPage()
    const { result, nominal } = await rehearse(setup, runs, workers, !given.switch('no-drills'), io)
    const command = sameAgain(sources, given, runs, seed)
    const { start } = sources.beer
    if (page !== undefined && built !== null) {
      const input = { result, nominal, setup, units, start, command, version: version() }
      writePage(page, rehearsalPage(input, built), io)
    }
    if (given.switch('json')) {
      io.out(`${JSON.stringify({ attemper: version(), command, start: start.text, ...result })}\n`)
    } else {
      io.out(rehearsalText(result, { units, start, command, width: io.columns, heading: headingFor(io) }))
    }
    return EXIT.good
  },
}

async function rehearse(
  setup: Setup,
  runs: number,
  workers: number,
  withDrills: boolean,
  io: Io,
): Promise<{ readonly result: RehearsalResult; readonly nominal: RunRecord }> {
  const drills = withDrills ? drillsFor(setup) : []
  // The nominal run comes first, as number 0.
  const jobs: Job[] = [
    ...Array.from({ length: runs + 1 }, (_, run): Job => ({ kind: 'run', run })),
    ...drills.map((drill): Job => ({ kind: 'drill', drill })),
  ]
  const progress = progressFor(io)
  try {
    const answers = await runJobs(setup, jobs, workers, done =>
      progress.show(`Rehearsing: ${done} of ${jobs.length} runs and drills`),
    )
    const records = answers.flatMap(answer => (answer.kind === 'run' ? [answer.record] : []))
    const drilled = answers.flatMap(answer => (answer.kind === 'drill' ? [answer.result] : []))
    const nominal = records.find(({ run }) => run === NOMINAL_RUN)!
    return { result: reduceRuns(setup, records, drilled), nominal }
  } finally {
    progress.end()
  }
}

function sameAgain({ files }: ReadySources, given: Given, runs: number, seed: number): string {
  const start = given.text('start')
  return commandAgain([
    'rehearse',
    files.plan,
    '--vessel',
    files.vessel!,
    '--beer',
    files.beer!,
    '--runs',
    runs,
    '--seed',
    seed,
    ...(start === undefined ? [] : ['--start', start]),
    ...(given.switch('no-drills') ? ['--no-drills'] : []),
  ])
}

function writePage(name: string, html: string, io: Io): void {
  try {
    writeFileSync(resolve(io.folder, name), html)
  } catch (error) {
    throw new UsageError(`${name} can not be written (${(error as NodeJS.ErrnoException).code}).`)
  }
  io.err(`Written: ${name}\n`)
}
