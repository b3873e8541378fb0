/**
 * Readings gathered into groups: neighbours of one instrument within a stretch of time become one value, their median, which
 * no single outlier moves. It keeps a record of weeks small, and errors of a float that last for hours from passing as many
 * independent witnesses. Stretches double as the record grows.
 */
import type { InstrumentErrors } from './instrument.ts'

export interface GravityReading {
  readonly instrument: number
  readonly at_h: number
  /** Points above 1.000. */
  readonly points: number
}

export interface Group {
  readonly instrument: number
  readonly at_h: number
  readonly points: number
  readonly count: number
  /** The readings themselves, of an instrument's latest group only. */
  readonly values?: readonly number[]
}

export interface Gathered {
  readonly width_h: number
  /** By time. */
  readonly groups: readonly Group[]
}

const NARROWEST_h = 2
/** Stretches into which a record is divided at most. */
const MOST_STRETCHES = 64
/** Of this many readings the median is taken; those beyond change it too little. */
const MOST_VALUES = 60

export const NOTHING_GATHERED: Gathered = { width_h: NARROWEST_h, groups: [] }

export function gather(readings: readonly GravityReading[]): Gathered {
  return readings.reduce(gatherOne, NOTHING_GATHERED)
}

export function gatherOne(gathered: Gathered, reading: GravityReading): Gathered {
  let { width_h, groups } = gathered
  while (reading.at_h / width_h > MOST_STRETCHES) {
    width_h *= 2
    groups = joined(groups, width_h)
  }
  const cell = cellOf(reading, width_h)
  const index = groups.findLastIndex(
    each => each.instrument === reading.instrument && cellOf(each, width_h) === cell,
  )
  if (index >= 0) return { width_h, groups: groups.with(index, withOneMore(groups[index]!, reading)) }
  const group = { ...reading, count: 1, values: [reading.points] }
  const earlier = groups.map(each => (each.instrument === reading.instrument ? closed(each) : each))
  const after = earlier.findIndex(each => each.at_h > reading.at_h)
  return { width_h, groups: after < 0 ? [...earlier, group] : earlier.toSpliced(after, 0, group) }
}

const cellOf = (each: { at_h: number }, width_h: number) => Math.floor(each.at_h / width_h)

function closed({ instrument, at_h, points, count }: Group): Group {
  return { instrument, at_h, points, count }
}

function withOneMore(group: Group, reading: GravityReading): Group {
  const count = group.count + 1
  const at_h = group.at_h + (reading.at_h - group.at_h) / count
  if (!group.values) {
    return { ...group, at_h, count, points: group.points + (reading.points - group.points) / count }
  }
  const values = [...group.values, reading.points].slice(-MOST_VALUES)
  return { ...group, at_h, count, points: middle(values), values }
}

function joined(groups: readonly Group[], width_h: number): readonly Group[] {
  const made = new Map<string, Group>()
  for (const group of groups) {
    const key = `${group.instrument} ${cellOf(group, width_h)}`
    const first = made.get(key)
    if (!first) {
      made.set(key, closed(group))
      continue
    }
    const count = first.count + group.count
    const share = group.count / count
    made.set(key, {
      instrument: group.instrument,
      count,
      at_h: first.at_h + share * (group.at_h - first.at_h),
      points: first.points + share * (group.points - first.points),
    })
  }
  return [...made.values()].sort((a, b) => a.at_h - b.at_h)
}

export function middle(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

/** Square of the error of a group that its instrument explains, points squared. */
export function instrumentVariance(group: Group, errors: InstrumentErrors): number {
  return errors.noise_points ** 2 / group.count + errors.resolution_points ** 2 / 12
}
