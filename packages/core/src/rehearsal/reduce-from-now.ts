import { ensemble } from './fans.ts'
import type { FromNow } from './from-now.ts'
import type { ExpectedTransition, FromNowResult } from './from-now-result.ts'
import { quantilesOf } from './quantiles.ts'
import type { RunRecord } from './record.ts'
import { reduceRuns } from './reduce.ts'
import { NOMINAL_RUN } from './run.ts'

const HOUR_S = 3600

/** Makes the answer of a rehearsal from now from its runs, which may come in any order, from any number of workers. */
export function reduceFromNow(from: FromNow, unordered: readonly RunRecord[]): FromNowResult {
  const { setup } = from
  const records = unordered.toSorted((a, b) => a.run - b.run)
  const { seed, runs, ready, final, risks, overTime, path } = reduceRuns(setup, records, [])
  return {
    now_s: setup.start_s,
    assumes: from.assumes,
    seed,
    runs,
    transitions: transitionsOf(from, records),
    ready,
    final,
    risks,
    overTime,
    path,
  }
}

interface Passage {
  readonly from: number
  /** null: the plan is complete. */
  readonly to: number | null
  readonly occurrence: number
  readonly at_h: number
}

function transitionsOf({ setup }: FromNow, records: readonly RunRecord[]): readonly ExpectedTransition[] {
  const { stages } = setup.plan
  const drawn = ensemble(records)
  const groups = new Map<string, Passage[]>()
  for (const passage of drawn.flatMap(passagesOf)) {
    const key = keyOf(passage)
    groups.set(key, [...(groups.get(key) ?? []), passage])
  }
  const nominal = new Map(
    records
      .filter(({ run }) => run === NOMINAL_RUN)
      .flatMap(passagesOf)
      .map(each => [keyOf(each), each.at_h]),
  )
  const transitions = [...groups].map(([key, list]): ExpectedTransition => {
    const { from, to, occurrence } = list[0]!
    return {
      from: stages[from]?.name ?? '',
      to: to === null ? null : (stages[to]?.name ?? ''),
      occurrence,
      hours: quantilesOf(list.map(({ at_h }) => at_h)),
      share: list.length / drawn.length,
      nominal_h: nominal.get(key) ?? null,
    }
  })
  return transitions.toSorted((a, b) => a.hours.p50! - b.hours.p50!)
}

function passagesOf({ stages, ready_s }: RunRecord): readonly Passage[] {
  const passages: Passage[] = []
  const add = (from: number, to: number | null, at_s: number) => {
    const occurrence = 1 + passages.filter(each => each.from === from && each.to === to).length
    passages.push({ from, to, occurrence, at_h: at_s / HOUR_S })
  }
  for (let n = 1; n < stages.length; n++) add(stages[n - 1]!.stage, stages[n]!.stage, stages[n]!.began_s)
  const last = stages.at(-1)
  if (last !== undefined && ready_s !== null && last.ended_s !== null) add(last.stage, null, last.ended_s)
  return passages
}

function keyOf({ from, to, occurrence }: Passage): string {
  return `${from} ${to} ${occurrence}`
}
