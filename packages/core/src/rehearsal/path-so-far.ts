import type { RunRecord } from './record.ts'
import type { Setup } from './setup.ts'

/** A mean over some time, as a store of readings answers for a chart. */
export interface MeanAt {
  readonly at_s: number
  readonly mean: number
}

export interface PathPoint {
  readonly at_s: number
  readonly gravity: number
  readonly beer_C: number
}

/**
 * The path that a batch has taken, temperature against gravity, in the order of time: for each gravity the temperature
 * at that time, between the two nearest temperatures (both series oldest first). A gravity is left out when no temperature
 * lies within `most_s` of it: what nobody measured is not drawn.
 */
export function pathSoFar(
  gravity: readonly MeanAt[],
  beer_C: readonly MeanAt[],
  most_s: number,
): readonly PathPoint[] {
  const points: PathPoint[] = []
  let next = 0
  for (const { at_s, mean } of gravity) {
    while (next < beer_C.length && beer_C[next]!.at_s < at_s) next++
    const after = near(beer_C[next], at_s, most_s)
    const before = near(beer_C[next - 1], at_s, most_s)
    const nearest = before ?? after
    if (nearest === null) continue
    const temperature =
      before === null || after === null
        ? nearest.mean
        : before.mean + ((at_s - before.at_s) / (after.at_s - before.at_s)) * (after.mean - before.mean)
    points.push({ at_s, gravity: mean, beer_C: temperature })
  }
  return points
}

/**
 * The same path as one line: a beer's gravity never rises, so points whose noise says otherwise are taken together with
 * their neighbours, until it falls from each to the next (isotonic regression by pooling adjacent violators: Ayer et al.
 * 1955). Gravity, temperature and time of a group are the means of its points.
 */
export function fallingPath(points: readonly PathPoint[]): readonly PathPoint[] {
  const groups: { count: number; at_s: number; gravity: number; beer_C: number }[] = []
  for (const { at_s, gravity, beer_C } of points) {
    let group = { count: 1, at_s, gravity, beer_C }
    for (
      let last = groups.at(-1);
      last !== undefined && last.gravity <= group.gravity;
      last = groups.at(-1)
    ) {
      groups.pop()
      const count = last.count + group.count
      const mean = (a: number, b: number) => (last.count * a + group.count * b) / count
      group = {
        count,
        at_s: mean(last.at_s, group.at_s),
        gravity: mean(last.gravity, group.gravity),
        beer_C: mean(last.beer_C, group.beer_C),
      }
    }
    groups.push(group)
  }
  return groups.map(({ at_s, gravity, beer_C }) => ({ at_s, gravity, beer_C }))
}

function near(point: MeanAt | undefined, at_s: number, most_s: number): MeanAt | null {
  return point !== undefined && Math.abs(point.at_s - at_s) <= most_s ? point : null
}

export interface PathOfRun {
  /** By sample, in the order of time; target null: none. */
  readonly gravity: readonly number[]
  readonly beer_C: readonly number[]
  readonly target_C: readonly (number | null)[]
  /** Where the run goes from one stage to the next; `to` null: the plan is complete. */
  readonly transitions: readonly PathTransition[]
}

export interface PathTransition {
  readonly from: string
  readonly to: string | null
  readonly hours: number
  readonly gravity: number
  readonly beer_C: number
}

/** The path of a single run with its transitions marked: of the nominal run, it is the plan drawn as one line. */
export function pathOfRun({ plan, sample_s }: Setup, { trace, stages, ready_s }: RunRecord): PathOfRun {
  const name = (stage: number) => plan.stages[stage]?.name ?? ''
  const last = trace.gravity.length - 1
  const mark = (from: number, to: number | null, at_s: number): PathTransition => {
    const sample = Math.max(0, Math.min(last, Math.round(at_s / sample_s)))
    return {
      from: name(from),
      to: to === null ? null : name(to),
      hours: at_s / 3600,
      gravity: trace.gravity[sample]!,
      beer_C: trace.beer_C[sample]!,
    }
  }
  const transitions = stages.slice(1).map((record, n) => mark(stages[n]!.stage, record.stage, record.began_s))
  const final = stages.at(-1)
  if (final !== undefined && ready_s !== null) transitions.push(mark(final.stage, null, ready_s))
  return {
    gravity: Array.from(trace.gravity),
    beer_C: Array.from(trace.beer_C),
    target_C: Array.from(trace.target_C, value => (Number.isNaN(value) ? null : value)),
    transitions,
  }
}
