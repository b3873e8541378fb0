import { HOUR_MS } from './block.ts'
import { MINUTE_MS } from './cells.ts'

/** Buckets of equal width that begin at `origin_ms`, made of whole cells. */
export interface BucketGrid {
  readonly origin_ms: number
  readonly width_ms: number
  readonly count: number
  /** The largest cell that every bucket is made of: an hour, a minute, or a millisecond (single readings). */
  readonly cell_ms: number
}

/** A bucket is at least this many cells wide, so that rounding it up to whole cells does not coarsen a chart much. */
const FEWEST_CELLS = 4

/**
 * At most `most` buckets over [from, to). Their width is a whole number of cells and they begin at a whole cell, so
 * that no cell lies in two buckets. Whole milliseconds in, whole milliseconds out.
 */
export function bucketGrid(from_ms: number, to_ms: number, most: number): BucketGrid {
  const ideal_ms = (to_ms - from_ms) / most
  const cell_ms = [HOUR_MS, MINUTE_MS].find(cell => ideal_ms >= FEWEST_CELLS * cell) ?? 1
  const origin_ms = Math.floor(from_ms / cell_ms) * cell_ms
  const width_ms = Math.ceil((to_ms - origin_ms) / most / cell_ms) * cell_ms
  return { origin_ms, width_ms, count: Math.ceil((to_ms - origin_ms) / width_ms), cell_ms }
}
