import { drawFor } from '../../random/draw.ts'
import type { ReadingSetup } from '../beer-reading.ts'
import type { GravityReading } from '../gathered.ts'
import { EXACT } from '../instrument.ts'
import { readLearned } from '../learned.ts'
import { LEARNED_BATCHES } from '../learned-batches.ts'
import { pool, priorFrom } from '../pool.ts'

export const A_FLOAT = { ...EXACT, noise_points: 0.5 }
export const ANY_YEAST = priorFrom(pool(readLearned(LEARNED_BATCHES)))

export const SETUP: ReadingSetup = {
  original_points: 50,
  original_sd: 1,
  instruments: [A_FLOAT],
  prior: ANY_YEAST,
  expected: { points: 11, sd: 2 },
  seed: 1,
  members: 300,
}

/** An ale that falls from 50 to 11 points: a lag, a straight fall, a sharp end. */
export function alePoints(at_h: number): number {
  return 11 + 39 / (1 + Math.exp((at_h - 48) / 8)) ** 0.8
}

export function aleReadings(until_h: number, every_h: number, seed = 1): readonly GravityReading[] {
  const draw = drawFor(seed, 0)
  return Array.from({ length: Math.floor(until_h / every_h) + 1 }, (_, index) => ({
    instrument: 0,
    at_h: index * every_h,
    points: alePoints(index * every_h) + 0.5 * draw.normal(),
  }))
}
