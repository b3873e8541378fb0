import type { BrewerHabits } from '../beer/beer.ts'
import { uniform } from '../random/hash-noise.ts'

const DAY_S = 86_400
/** 1970-01-01 was a Thursday: days since then, modulo 7, of Saturday and Sunday. */
const SATURDAY = 2
const SUNDAY = 3
/** Stream of the hash for the delays; apart from those of the instruments (world/setup.ts). */
const DELAY_STREAM = 9000
/**
 * Delays are log-normal: most answers come soon, some take long. Standard deviation of the logarithm, and the longest delay as
 * a multiple of the usual one: judgement, no source.
 */
const DELAY_SPREAD = 0.8
const LONGEST_DELAYS = 8

/**
 * When the brewer answers a question that is put now: a drawn delay that counts only while they are awake and at home.
 * The k-th question of a run has its own delay, whatever was asked before.
 *
 * @param local_s local time at which it was asked, s
 * @param seed of the run; null: the median delay
 * @returns local time of the answer, s
 */
export function answersAt_s(
  habits: BrewerHabits,
  local_s: number,
  seed: number | null,
  question: number,
): number {
  let left_s = Math.max(1, Math.round(habits.answersWithin_s * delayFactor(seed, question)))
  let at_s = local_s
  // Each turn passes one stretch of being there or not; a month of stretches is more than any habit needs.
  for (let turn = 0; turn < 200; turn++) {
    const change_s = nextChange_s(habits, at_s)
    if (isThere(habits, at_s)) {
      if (at_s + left_s <= change_s) return at_s + left_s
      left_s -= change_s - at_s
    }
    at_s = change_s
  }
  return at_s
}

function delayFactor(seed: number | null, question: number): number {
  if (seed === null) return 1
  // Two uniform numbers make one normal (Box and Muller 1958).
  const radius = Math.sqrt(-2 * Math.log(1 - uniform(seed, DELAY_STREAM, 2 * question)))
  const normal = radius * Math.cos(2 * Math.PI * uniform(seed, DELAY_STREAM, 2 * question + 1))
  return Math.min(LONGEST_DELAYS, Math.exp(DELAY_SPREAD * normal))
}

export function isThere(habits: BrewerHabits, local_s: number): boolean {
  const day = Math.floor(local_s / DAY_S)
  const time_s = local_s - day * DAY_S
  const weekday = day % 7
  if (habits.awayAtWeekends && (weekday === SATURDAY || weekday === SUNDAY)) return false
  const { asleepFrom_s: from_s, asleepTo_s: to_s } = habits
  if (from_s === to_s) return true
  return from_s < to_s ? time_s < from_s || time_s >= to_s : time_s < from_s && time_s >= to_s
}

/** The next moment at which being there may change. */
function nextChange_s(habits: BrewerHabits, local_s: number): number {
  const midnight_s = Math.floor(local_s / DAY_S) * DAY_S
  const times_s = [
    habits.asleepFrom_s,
    habits.asleepTo_s,
    DAY_S,
    DAY_S + habits.asleepFrom_s,
    DAY_S + habits.asleepTo_s,
  ]
  return Math.min(...times_s.map(time_s => midnight_s + time_s).filter(at_s => at_s > local_s))
}
