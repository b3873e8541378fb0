import { type Drill, drillsFor } from '@attemper/core/rehearsal/drills.ts'
import type { DrillResult } from '@attemper/core/rehearsal/result.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { drillsTable } from '@attemper/core/report/rehearsal-text.ts'
import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import {
  BEER_OPTION,
  type Command,
  JSON_OPTION,
  PLAN_ARGUMENT,
  UNIT_OPTIONS,
  VESSEL_OPTION,
} from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import { progressFor } from '../progress.ts'
import { readySources } from '../ready-sources.ts'
import { runJobs } from '../run-pool.ts'
import { unitsFor } from '../settings.ts'
import { SEED_OPTION, START_OPTION, seedOf, WORKERS_OPTION, workersOf } from './rehearse.ts'

/** Puts one fault after the other into the nominal run. */
export const DRILL: Command = {
  name: 'drill',
  summary:
    'Puts one fault after the other into the nominal run, and says what the plan and the interlocks made of it.',
  arguments: [PLAN_ARGUMENT],
  options: [
    VESSEL_OPTION,
    BEER_OPTION,
    { name: 'only', value: 'NAME', about: 'only this drill; may be given more than once', repeated: true },
    SEED_OPTION,
    WORKERS_OPTION,
    START_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: ['vessel', 'beer'],
  examples: [
    'attemper drill amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml',
    'attemper drill amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml --only float-silent',
  ],
  statuses: {
    good: 'no drill failed',
    bad: 'at least one drill failed, or the plan, the vessel or the beer has errors',
  },
  async run(given, io) {
    const units = unitsFor(given, io)
    const seed = seedOf(given)
    const workers = workersOf(given)
    const sources = readySources(given, io, units)
    if (sources === null) return EXIT.bad
    const setup = prepare(sources.plan, sources.vessel, sources.beer, { seed })
    const chosen = choose(drillsFor(setup), given.texts('only'))
    const progress = progressFor(io)
    const answers = await runJobs(
      setup,
      chosen.map(drill => ({ kind: 'drill', drill })),
      workers,
      done => progress.show(`${done} of ${chosen.length} drills`),
    ).finally(() => progress.end())
    const drills = answers.flatMap(answer => (answer.kind === 'drill' ? [answer.result] : []))
    if (given.switch('json')) io.out(`${JSON.stringify({ plan: setup.plan.name, seed, drills }, null, 2)}\n`)
    else io.out(`${summary(drills)}\n\n${drillsTable({ drills }, { width: io.columns, units })}\n`)
    return drills.some(drill => drill.verdict === 'failed') ? EXIT.bad : EXIT.good
  },
}

function choose(drills: readonly Drill[], names: readonly string[]): readonly Drill[] {
  if (names.length === 0) return drills
  const known = drills.map(drill => drill.name)
  for (const name of names) {
    if (known.includes(name)) continue
    const nearest = nearestWord(name, known)
    const hint = nearest === null ? '' : ` Did you mean ${nearest}?`
    throw new UsageError(
      `There is no drill ${name} for this plan and vessel.${hint} There are ${known.join(', ')}.`,
    )
  }
  return drills.filter(drill => names.includes(drill.name))
}

function summary(drills: readonly DrillResult[]): string {
  const count = (verdict: DrillResult['verdict']) => drills.filter(drill => drill.verdict === verdict).length
  const tried = drills.length - count('not applicable')
  const failed = count('failed')
  const asked = count('needed the brewer')
  const words = [
    `${count('passed')} passed`,
    ...(asked > 0 ? [`${asked} needed the brewer`] : []),
    ...(failed > 0 ? [`${failed} failed`] : []),
  ]
  return `Of ${tried} drill${tried === 1 ? '' : 's'}, ${words.join(', ')}.`
}
