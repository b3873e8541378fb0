import type { StoredReading } from '../store.ts'
import { BEER, FLOAT, reading } from './sample-records.ts'

const HOUR = 3_600_000
const T0 = Math.floor(1_790_000_000_000 / HOUR) * HOUR

/** An hour is full after 360 readings, so that hours are sealed while a test lasts. */
const EVERY_MS = 10_000

export function readingTime_ms(index: number): number {
  return T0 + index * EVERY_MS
}

/** Everything about it follows from its index, so that a store can be asked whether it holds just this. */
export function indexedReading(index: number): StoredReading {
  const stream = index % 5 === 0 ? FLOAT : BEER
  const value = index % 3 === 0 ? Math.sin(index) : (index % 2000) / 100
  return reading(stream, readingTime_ms(index), value, index % 11 === 0 ? 'uncertain' : 'good')
}
