/** A recorded batch in the numbers of the estimator: hours, points above 1.000. */
import type { WholeBatch } from '@attemper/core/beer-reading/fit-batch.ts'
import { errorsFromSteps } from '@attemper/core/beer-reading/instrument.ts'
import { DENSE, originalOf, untilLowest } from './question.ts'
import type { RecordedBatch, TimedValue } from './read-records.ts'

export const pointsOf = (gravity: number) => (gravity - 1) * 1000

/** How well an original gravity is known that was read, not computed, points. */
export const ORIGINAL_SD_points = 1

export function gravityReadings(readings: readonly TimedValue[]) {
  return readings.map(({ at_h, value }) => ({ instrument: 0, at_h, points: pointsOf(value) }))
}

export function knownTemperatures(temperatures: readonly TimedValue[]) {
  return temperatures.map(({ at_h, value }) => ({ at_h, value_C: value }))
}

export function wholeBatch(record: RecordedBatch): WholeBatch {
  const kept = record.gravity.length > DENSE ? record.gravity : untilLowest(record.gravity)
  const readings = gravityReadings(kept)
  const end_h = kept.at(-1)!.at_h
  return {
    name: record.name,
    yeast: record.yeast,
    original_points: pointsOf(originalOf(kept)),
    original_sd: ORIGINAL_SD_points,
    instruments: [errorsFromSteps(readings.map(each => each.points))],
    readings,
    temperatures: knownTemperatures(record.temperature_C.filter(each => each.at_h <= end_h)),
  }
}
