import type { Bucket } from '../store.ts'
import { HOUR_MS } from './block.ts'
import type { Blocks } from './blocks.ts'
import { bucketGrid } from './bucket-grid.ts'
import { type Cell, MINUTE_MS } from './cells.ts'
import type { Recent } from './recent.ts'

const BAD = 2

/** Whole milliseconds; `to_ms` is not included. */
export function readBuckets(
  { blocks, recent }: { readonly blocks: Blocks; readonly recent: Recent },
  stream: number,
  from_ms: number,
  to_ms: number,
  most: number,
): readonly Bucket[] {
  const grid = bucketGrid(from_ms, to_ms, most)
  const sums = new BucketSums(grid.origin_ms, grid.width_ms, grid.count)
  addSealed(blocks, stream, { from_ms, to_ms, cell_ms: grid.cell_ms }, sums)
  // A late reading lies beside the block of its hour, never in it too: both simply add up.
  recent.eachCell(stream, { from_ms, to_ms }, grid, (place, cell) => sums.addAt(place, cell))
  return sums.result()
}

interface Stretch {
  readonly from_ms: number
  readonly to_ms: number
  readonly cell_ms: number
}

/** Whole cells in the middle; what is left at both ends from the next finer ones. */
function addSealed(blocks: Blocks, stream: number, stretch: Stretch, sums: BucketSums): void {
  const { from_ms, to_ms, cell_ms } = stretch
  if (from_ms >= to_ms) return
  if (cell_ms === 1) {
    addReadings(blocks, stream, from_ms, to_ms, sums)
    return
  }
  const finer_ms = cell_ms === HOUR_MS ? MINUTE_MS : 1
  const first_ms = Math.ceil(from_ms / cell_ms) * cell_ms
  const last_ms = Math.floor(to_ms / cell_ms) * cell_ms
  if (first_ms >= last_ms) {
    addSealed(blocks, stream, { from_ms, to_ms, cell_ms: finer_ms }, sums)
    return
  }
  addSealed(blocks, stream, { from_ms, to_ms: first_ms, cell_ms: finer_ms }, sums)
  if (cell_ms === HOUR_MS) addHours(blocks, stream, first_ms, last_ms, sums)
  else addMinutes(blocks, stream, first_ms, last_ms, sums)
  addSealed(blocks, stream, { from_ms: last_ms, to_ms, cell_ms: finer_ms }, sums)
}

function addHours(blocks: Blocks, stream: number, from_ms: number, to_ms: number, sums: BucketSums): void {
  const range = { from: from_ms / HOUR_MS, to: to_ms / HOUR_MS }
  const grid = { origin: sums.origin_ms / HOUR_MS, width: sums.width_ms / HOUR_MS }
  blocks.eachHours(stream, range, grid, (place, cell) => sums.addAt(place, cell))
}

function addMinutes(blocks: Blocks, stream: number, from_ms: number, to_ms: number, sums: BucketSums): void {
  const [first, last] = [Math.floor(from_ms / HOUR_MS), Math.floor((to_ms - 1) / HOUR_MS)]
  blocks.eachMinute(stream, first, last, hour => (minute, count, min, max, sum) => {
    const at_ms = hour * HOUR_MS + minute * MINUTE_MS
    if (at_ms >= from_ms && at_ms < to_ms) sums.add(at_ms, count, min, max, sum)
  })
  for (const { hour, hasMinutes } of blocks.thinnedHours(stream, first, last)) {
    if (!hasMinutes) addThinnedHour(blocks, stream, hour, from_ms, to_ms, sums)
  }
}

/** Of an hour of which nothing finer is left: all that it held counts at its beginning. */
function addThinnedHour(
  blocks: Blocks,
  stream: number,
  hour: number,
  from_ms: number,
  to_ms: number,
  sums: BucketSums,
): void {
  const at_ms = hour * HOUR_MS
  const cell = at_ms >= from_ms && at_ms < to_ms ? blocks.hourCell(stream, hour) : null
  if (cell !== null) sums.add(at_ms, cell.count, cell.min, cell.max, cell.sum)
}

function addReadings(blocks: Blocks, stream: number, from_ms: number, to_ms: number, sums: BucketSums): void {
  const [first, last] = [Math.floor(from_ms / HOUR_MS), Math.floor((to_ms - 1) / HOUR_MS)]
  for (const hour of blocks.hours(stream, first, last)) {
    const columns = blocks.read(stream, hour)
    columns?.at_ms.forEach((at_ms, i) => {
      const value = columns.values[i] ?? Number.NaN
      if (at_ms < from_ms || at_ms >= to_ms || columns.statuses[i] === BAD || !Number.isFinite(value)) return
      sums.add(at_ms, 1, value, value, value)
    })
  }
  for (const { hour } of blocks.thinnedHours(stream, first, last)) {
    const hour_ms = hour * HOUR_MS
    const [start_ms, end_ms] = [Math.max(from_ms, hour_ms), Math.min(to_ms, hour_ms + HOUR_MS)]
    addMinutes(blocks, stream, start_ms, end_ms, sums)
  }
}

class BucketSums {
  readonly origin_ms: number
  readonly width_ms: number
  readonly #counts: Float64Array
  readonly #min: Float64Array
  readonly #max: Float64Array
  readonly #sums: Float64Array

  constructor(origin_ms: number, width_ms: number, count: number) {
    this.origin_ms = origin_ms
    this.width_ms = width_ms
    this.#counts = new Float64Array(count)
    this.#min = new Float64Array(count).fill(Number.POSITIVE_INFINITY)
    this.#max = new Float64Array(count).fill(Number.NEGATIVE_INFINITY)
    this.#sums = new Float64Array(count)
  }

  add(at_ms: number, count: number, min: number, max: number, sum: number): void {
    this.#add(Math.floor((at_ms - this.origin_ms) / this.width_ms), count, min, max, sum)
  }

  addAt(place: number, { count, min, max, sum }: Cell): void {
    this.#add(place, count, min, max, sum)
  }

  #add(i: number, count: number, min: number, max: number, sum: number): void {
    this.#counts[i] = (this.#counts[i] ?? 0) + count
    this.#sums[i] = (this.#sums[i] ?? 0) + sum
    if (min < (this.#min[i] ?? 0)) this.#min[i] = min
    if (max > (this.#max[i] ?? 0)) this.#max[i] = max
  }

  result(): readonly Bucket[] {
    const buckets: Bucket[] = []
    this.#counts.forEach((count, i) => {
      if (count === 0) return
      buckets.push({
        from_ms: this.origin_ms + i * this.width_ms,
        count,
        min: this.#min[i] ?? 0,
        max: this.#max[i] ?? 0,
        mean: (this.#sums[i] ?? 0) / count,
      })
    })
    return buckets
  }
}
