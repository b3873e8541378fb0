import type { DatabaseSync } from 'node:sqlite'
import { StoreError } from '../store-error.ts'
import { damageOf } from './verify.ts'

/** Without these no batch can be taken up; they are small. */
const VITAL = ['version', 'vessel', 'batch', 'latest_state', 'journal', 'document', 'audit', 'stream']
/** Readings of the past: a chart may have a hole, and the batches go on. */
const READINGS = ['recent', 'block', 'minute_cells', 'hour_cell', 'thinned']

/** A start does not wait for longer; `attemper verify` looks at everything. */
const LONGEST_MS = 5_000
/** A memory card reads some ten MB in a second. */
const LARGEST_B = 100e6

/**
 * Looks whether the pages of a database are in order before anything is built on it. Throws when what the batches need is
 * damaged; returns what is wrong with the readings.
 */
export function quickCheck(db: DatabaseSync, file: string, size_B: number): readonly string[] {
  const from_ms = performance.now()
  const check = (table: string) => damageOf(db, 'quick_check', table)
  const vital = VITAL.flatMap(check)
  if (vital.length > 0) {
    throw new StoreError(
      'corrupt',
      `${file} is damaged, so no cellar starts on it. ${vital[0]} ` +
        'Look at the disk; “attemper verify” says all that is wrong, and “attemper restore FILE” puts the latest good backup in its place.',
    )
  }
  const isSmall = size_B <= LARGEST_B
  return READINGS.flatMap(table => (isSmall && performance.now() - from_ms < LONGEST_MS ? check(table) : []))
}
