import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import { NOTICED_S } from './clock-watch.ts'

/** Nobody leaves a fermentation without its cellar for longer: then rather the clock is wrong, s. Common practice, no source. */
export const LONGEST_AWAY_S = 7 * 86_400

/** How a batch stands in time by its records. */
export interface RecordedTime {
  /** When the engine was last called. */
  readonly now_s: number
  /** How far its times have been moved altogether since it began, with a clock that was set. */
  readonly moved_s: number
}

/**
 * How far the times of a batch have to go so that they fit a clock again after the software was away, s; null: no time for
 * which it may have been away explains what the clock shows.
 *
 * They may stay as they are; or, where they were moved with a wrong clock that has been put right, go back to where they
 * were. Of two that can be true, the one with the shorter time away is.
 */
export function timesToMove_s({ now_s, moved_s }: RecordedTime, clock_s: number): number | null {
  const candidates = [0, -moved_s]
    .map(times_s => ({ times_s, away_s: clock_s - (now_s + times_s) }))
    .filter(({ away_s }) => away_s >= -NOTICED_S && away_s <= LONGEST_AWAY_S)
    .sort((a, b) => Math.max(0, a.away_s) - Math.max(0, b.away_s))
  return candidates[0]?.times_s ?? null
}

/** How far the times of a batch have been moved by what its journal says. */
export function movedBefore_s(entries: Iterable<JournalEntry>): number {
  let sum_s = 0
  for (const entry of entries) if (entry.kind === 'clock set') sum_s += entry.times_s
  return sum_s
}

/** Times that the journal tells twice, because the clock was put back: what is dated then may be older than it looks. */
export function toldTwice_ms(entries: Iterable<JournalEntry>): readonly (readonly [number, number])[] {
  const twice: (readonly [number, number])[] = []
  // Since when the clock had run on as it stood.
  let since_ms = Number.NEGATIVE_INFINITY
  for (const entry of entries) {
    if (entry.kind !== 'clock set') continue
    const { at_ms, clock_s } = entry
    if (clock_s < 0) twice.push([Math.max(since_ms, at_ms), at_ms - clock_s * 1000])
    since_ms = at_ms
  }
  return twice
}
