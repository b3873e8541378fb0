import { alcoholByVolume_percent, alcoholByWeight_percent, realExtract_P } from '../formulas/alcohol.ts'
import { platoFromSg } from '../formulas/gravity.ts'
import { ensemble, fansOverTime, pathOf } from './fans.ts'
import { quantilesOf } from './quantiles.ts'
import type { RunRecord, StageRecord } from './record.ts'
import type { DrillResult, RehearsalResult, Risk, StageSummary } from './result.ts'
import { harmOf, RISKS } from './risks.ts'
import { NOMINAL_RUN } from './run.ts'
import type { Setup } from './setup.ts'

const HOUR_S = 3600
const MOST_WORST = 5
const WAYS = ['condition', 'branch', 'late', 'fallback', 'answer', 'never'] as const

/**
 * Makes the answer of a rehearsal from its runs. The records may come in any order, from any number of workers: they are
 * put in the order of their numbers first, so the answer is the same to the last bit.
 */
export function reduceRuns(
  setup: Setup,
  unordered: readonly RunRecord[],
  drills: readonly DrillResult[],
): RehearsalResult {
  const records = unordered.toSorted((a, b) => a.run - b.run)
  const drawn = ensemble(records)
  const nominal = records.find(({ run }) => run === NOMINAL_RUN)
  const complete = drawn.filter(({ ready_s }) => ready_s !== null)
  const { plan, vessel, beer } = setup
  return {
    plan: plan.name,
    vessel: vessel.name,
    beer: beer.name,
    seed: setup.seed,
    runs: records.length - (nominal ? 1 : 0),
    side: plan.side,
    limits: { lowest_C: plan.limits.lowest_C ?? null, highest_C: plan.limits.highest_C ?? null },
    originalGravity: beer.originalGravity,
    horizon_h: setup.horizon_s / HOUR_S,
    ready: {
      hours: quantilesOf(drawn.map(({ ready_s }) => (ready_s ?? Number.POSITIVE_INFINITY) / HOUR_S)),
      share: share(complete.length, drawn.length),
      nominal_h: nominal?.ready_s == null ? null : nominal.ready_s / HOUR_S,
    },
    final: {
      gravity: quantilesOf(complete.map(({ finalGravity }) => finalGravity)),
      alcohol_percent_vol: quantilesOf(
        complete.map(({ finalGravity }) => alcohol_percent_vol(beer.originalGravity, finalGravity)),
      ),
    },
    stages: plan.stages.map(({ name }, number) => summariseStage(name, number, drawn)),
    risks: summariseRisks(setup, drawn),
    drills,
    overTime: fansOverTime(setup, records),
    path: pathOf(setup, records),
  }
}

function alcohol_percent_vol(originalGravity: number, gravity: number): number {
  const original_P = platoFromSg(originalGravity)
  const real_P = realExtract_P(original_P, platoFromSg(gravity))
  return alcoholByVolume_percent(Math.max(0, alcoholByWeight_percent(original_P, real_P)), gravity)
}

const share = (part: number, whole: number) => (whole === 0 ? 0 : part / whole)

/** A run that enters a stage twice counts with its first visit for the beginning, and with its last for the end. */
function summariseStage(stage: string, number: number, records: readonly RunRecord[]): StageSummary {
  const visits = records
    .map(record => record.stages.filter(each => each.stage === number))
    .filter(list => list.length > 0)
  const lasts = visits.map(list => list.at(-1)!)
  const count = (applies: (record: StageRecord) => boolean) =>
    share(visits.filter(list => list.some(applies)).length, visits.length)
  const ended = Object.fromEntries(
    WAYS.map(way => [way, share(lasts.filter(({ how }) => how === way).length, lasts.length)]),
  ) as StageSummary['ended']
  return {
    stage,
    begins_h: quantilesOf(visits.map(list => list[0]!.began_s / HOUR_S)),
    lasts_h: quantilesOf(
      lasts.flatMap(({ began_s, ended_s }) => (ended_s === null ? [] : [(ended_s - began_s) / HOUR_S])),
    ),
    entered: share(visits.length, records.length),
    ended,
    late: count(({ late }) => late),
    asked: count(({ asked }) => asked),
  }
}

function summariseRisks(setup: Setup, records: readonly RunRecord[]): readonly Risk[] {
  const risks = RISKS.flatMap((kind): Risk[] => {
    const suffering = records.flatMap(({ run, harms }) =>
      harms.filter(({ code }) => code === kind.code).map(harm => ({ run, ...harm })),
    )
    if (suffering.length === 0) return []
    const worst = suffering.toSorted((a, b) => b.extent - a.extent || a.run - b.run)
    const extent = quantilesOf(suffering.map(harm => harm.extent))
    const stage = setup.plan.stages[mostFrequent(suffering.map(harm => harm.stage))]
    return [
      {
        code: kind.code,
        message: kind.message,
        share: share(suffering.length, records.length),
        harm: harmOf(kind, extent.p50!),
        weaklyFounded: kind.weaklyFounded ?? false,
        extent,
        unit: kind.unit,
        stage: stage?.name ?? null,
        worst: worst.slice(0, MOST_WORST).map(({ run }) => run),
      },
    ]
  })
  return risks.toSorted((a, b) => b.share * b.harm - a.share * a.harm)
}

function mostFrequent(numbers: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1)
  let best = -1
  for (const [number, count] of counts) if (count > (counts.get(best) ?? 0)) best = number
  return best
}
