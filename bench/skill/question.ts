/**
 * What is asked of a record: with only the readings up to the first time at which a share of the fall had passed, what is the
 * last gravity? 'Last' and 'original' are averages where readings are dense, so that one noisy reading decides nothing.
 */

import {
  DENSE,
  originalOf,
  type RecordedBatch,
  type TimedValue,
  untilLowest,
} from '../../packages/cli/src/readings/recorded-batch.ts'
import { median } from '../timing.ts'

export const SHARES = [0.25, 0.5, 0.75] as const

export interface Question {
  readonly record: RecordedBatch
  readonly share: number
  readonly original: number
  /** What may be known: readings up to the moment of asking. */
  readonly shown: readonly TimedValue[]
  readonly shownTemperature_C: readonly TimedValue[]
  readonly now_h: number
  readonly last: TimedValue
  /** When the record came to within one point of its last gravity; null where it had not come to rest. */
  readonly nearEnd_h: number | null
}

const FEWEST = 5
const FEWEST_TO_LOWEST = 4
const SMALLEST_FALL = 0.008
const LAST_WITHIN_h = 6
const POINT = 0.001

/** The questions that a record can be asked, or why it can be asked none. */
export function questionsOf(record: RecordedBatch): readonly Question[] | string {
  const dense = record.gravity.length > DENSE
  if (record.gravity.length < FEWEST)
    return `${record.gravity.length} gravities, at least ${FEWEST} are needed`
  const readings = dense ? record.gravity : untilLowest(record.gravity)
  if (readings.length < FEWEST_TO_LOWEST) return 'too few gravities before the lowest'
  const original = originalOf(readings)
  const last = dense ? lastOfMany(readings) : readings.at(-1)!
  if (original - last.value < SMALLEST_FALL) return 'it fell by less than 8 points'
  const questions = SHARES.flatMap(share => {
    const index = reached(readings, original - share * (original - last.value), dense ? 3 : 1)
    if (index < 1 || index >= readings.length - 1) return []
    const now_h = readings[index]!.at_h
    return [
      {
        record,
        share,
        original,
        shown: readings.slice(0, index + 1),
        shownTemperature_C: record.temperature_C.filter(each => each.at_h <= now_h),
        now_h,
        last,
        nearEnd_h: nearEnd_h(readings, last, dense),
      },
    ]
  })
  return questions.length > 0 ? questions : 'no reading lies between the shares of the fall and the last one'
}

const gravityOf = (reading: TimedValue) => reading.value

function lastOfMany(readings: readonly TimedValue[]): TimedValue {
  const end = readings.filter(each => each.at_h >= readings.at(-1)!.at_h - LAST_WITHIN_h)
  return { at_h: median(end.map(each => each.at_h)), value: median(end.map(gravityOf)) }
}

/** The first reading at or below a gravity that is followed by others which stay there. */
function reached(readings: readonly TimedValue[], gravity: number, inARow: number): number {
  return readings.findIndex(
    (_, index) =>
      index + inARow <= readings.length &&
      readings.slice(index, index + inARow).every(each => each.value <= gravity + 1e-9),
  )
}

/** A record had come to rest when it stayed within one point of its last gravity for the last tenth of its time. */
function nearEnd_h(readings: readonly TimedValue[], last: TimedValue, dense: boolean): number | null {
  const level = last.value + POINT
  const index = reached(readings, level, dense ? 3 : 1)
  if (index < 1) return null
  const [before, after] = [readings[index - 1]!, readings[index]!]
  const fall = before.value - after.value
  const near_h =
    fall > 0 ? before.at_h + ((before.value - level) / fall) * (after.at_h - before.at_h) : after.at_h
  return last.at_h - near_h >= 0.1 * last.at_h ? near_h : null
}
