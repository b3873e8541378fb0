import type { EngineState } from '../engine/contract.ts'
import type { Program } from '../engine/program.ts'

/** A moment of the past: how warm the beer was, and how warm it should have been. */
export interface BeerMoment {
  readonly at_s: number
  readonly beer_C: number
  readonly target_C: number
}

export interface OffTarget {
  /** Warmer (+) or colder (-) than the target by this. */
  readonly by_K: number
  readonly moving: 'away' | 'not' | 'too slowly'
}

/** All common practice, no source. */
const LIMITS = {
  fermentation: { band_K: 0.8, watched_s: 45 * 60, reach_s: 48 * 3600 },
  'hot side': { band_K: 2, watched_s: 10 * 60, reach_s: 3 * 3600 },
} as const
/** A straight line through noise is never quite level, K/s. */
const STILL_K_per_s = 0.02 / 3600

/**
 * Whether the beer is where it should be: within the band that its control keeps anyway, or moving to the target at a rate
 * that gets there. Judged only when it has been out of its band for a while, with the target standing where it is: what a
 * compressor's rest or a new target does for some minutes is no news.
 *
 * @param past the latest hours, oldest first
 * @returns null when nothing is to be said
 */
export function offTarget(
  program: Program,
  state: EngineState,
  beer_C: number | null,
  past: readonly BeerMoment[],
): OffTarget | null {
  const { target_C } = state
  if (beer_C === null || target_C === null) return null
  const { watched_s, reach_s } = LIMITS[program.side]
  const [coldest_C, warmest_C] = bandOf(program, state, target_C)
  const isOut = (C: number) => C < coldest_C || C > warmest_C
  if (!isOut(beer_C)) return null
  const out = lastWhile(past, each => isOut(each.beer_C) && Math.abs(each.target_C - target_C) < 3)
  const first = out[0]
  const last = out.at(-1)
  if (first === undefined || last === undefined || last.at_s - first.at_s < watched_s) return null
  const by_K = beer_C - target_C
  const rate_K_per_s = slopeOf(out.filter(({ at_s }) => at_s > last.at_s - 2 * watched_s))
  const nearing_K_per_s = -Math.sign(by_K) * rate_K_per_s
  if (nearing_K_per_s < -STILL_K_per_s) return { by_K, moving: 'away' }
  if (nearing_K_per_s < STILL_K_per_s) return { by_K, moving: 'not' }
  const beyond_K = by_K > 0 ? beer_C - warmest_C : coldest_C - beer_C
  return beyond_K / nearing_K_per_s <= reach_s ? null : { by_K, moving: 'too slowly' }
}

/** The temperatures between which nothing needs to be said. */
function bandOf(program: Program, state: EngineState, target_C: number): readonly [number, number] {
  const stage = program.stages[Math.min(state.stage, program.stages.length - 1)]
  const { band_K } = LIMITS[program.side]
  if (stage === undefined) return [target_C - band_K, target_C + band_K]
  const { course, control } = stage
  const away_K = program.thermostat?.away_K ?? 0
  const above_K = Math.max(band_K, 1.5 * control.coolStart_K, away_K)
  const below_K = Math.max(band_K, 1.5 * control.heatStart_K, away_K)
  // In a free rise the beer warms by itself, as far as the cap; a boil is as hot as it gets.
  if (course.kind === 'free rise') {
    return [
      course.lowest_C === undefined ? Number.NEGATIVE_INFINITY : course.lowest_C - below_K,
      target_C + above_K,
    ]
  }
  if (course.kind === 'boil') return [target_C - below_K, Number.POSITIVE_INFINITY]
  return [target_C - below_K, target_C + above_K]
}

function lastWhile(
  past: readonly BeerMoment[],
  holds: (moment: BeerMoment) => boolean,
): readonly BeerMoment[] {
  let from = past.length
  while (from > 0 && holds(past[from - 1]!)) from--
  return past.slice(from)
}

function slopeOf(moments: readonly BeerMoment[]): number {
  const end_s = moments.at(-1)!.at_s
  const meanTime_s = moments.reduce((sum, { at_s }) => sum + at_s - end_s, 0) / moments.length
  const mean_C = moments.reduce((sum, { beer_C }) => sum + beer_C, 0) / moments.length
  let products = 0
  let squares = 0
  for (const { at_s, beer_C } of moments) {
    const time_s = at_s - end_s - meanTime_s
    products += time_s * (beer_C - mean_C)
    squares += time_s * time_s
  }
  return squares === 0 ? 0 : products / squares
}

/** How far back `offTarget` looks at most, s. */
export const PAST_NEEDED_s = 2 * LIMITS.fermentation.watched_s
/** How far apart two moments should be at least, s. */
export const PAST_STEP_s = 120

/** Remembers a moment of a batch, and forgets what nobody asks for any more. */
export function rememberMoment(past: readonly BeerMoment[], moment: BeerMoment): readonly BeerMoment[] {
  const last = past.at(-1)
  if (last !== undefined && moment.at_s - last.at_s < PAST_STEP_s) return past
  return [...past.filter(({ at_s }) => at_s >= moment.at_s - PAST_NEEDED_s), moment]
}
