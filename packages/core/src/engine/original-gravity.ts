import type { FloatBounds } from '../readiness/float-bounds.ts'
import { judgeFloat } from '../readiness/float-in-wort.ts'
import type { Draft } from './draft.ts'
import type { EngineEvent } from './events.ts'
import { TRUE } from './kleene.ts'

/**
 * After pitching, the float's gravity may count as the original one for so long. Yeast needs some hours before it begins,
 * and what a lively one takes away in this time would show as a gravity that is not steady. Common practice, no source.
 */
export const FLOAT_COUNTS_FOR_S = 6 * 3600
/** A mean of several readings is not worth more than a tenth of a point. */
const ROUND_TO = 1e4

/** What attenuation is counted from. */
export function originalGravity({ state, program }: Draft): number {
  return state.originalGravity ?? program.originalGravity
}

/** Whether it has been measured (or will not be any more), so that the beer file's word is over. */
export function isOriginalSettled({ state }: Draft): boolean {
  return (state.originalGravity ?? null) !== null
}

/** Settles the original gravity of the batch; a word by hand may come at any time, and stands above all others. */
export function settleOriginalGravity(
  draft: Draft,
  gravity: number,
  from: Extract<EngineEvent, { kind: 'original gravity' }>['from'],
): void {
  const { state, program, now_s, events, scope } = draft
  const before = originalGravity(draft)
  const instrument = from === 'float' ? (program.float?.float ?? null) : null
  state.originalGravity = gravity
  events.push({ kind: 'original gravity', at_s: now_s, gravity, before, from, instrument })
  scope.lookAgain()
}

/**
 * Takes the original gravity from the float as soon as that is demonstrably in the wort: never before pitching, and only
 * as long as the fermentation can not have lowered it appreciably. After that the beer file's word stands.
 */
export function watchFloat(draft: Draft): void {
  const { program, state, now_s, scope } = draft
  const { float } = program
  if (float === null || state.startedAt_s === null || isOriginalSettled(draft)) return
  if (state.batch !== 'running' && state.batch !== 'held') return
  const end_s = state.startedAt_s + FLOAT_COUNTS_FOR_S
  if (now_s > end_s) {
    settleOriginalGravity(draft, program.originalGravity, 'beer file')
    return
  }
  scope.wake(end_s + 1)
  scope.everyReading(float.gravityChannel)
  const { startedAt_s } = state
  const judgement = judgeFloat(
    {
      float_C: trustedValue(draft, float.temperatureChannel),
      beer_C: trustedValue(draft, float.probeChannel),
      gravities:
        trustedValue(draft, float.gravityChannel) === null
          ? []
          : state.channels[float.gravityChannel]!.history.filter(([at_s]) => at_s >= startedAt_s),
    },
    float,
  )
  watchTemperatures(draft, float)
  if (judgement.inWort !== TRUE) return
  settleOriginalGravity(draft, Math.round(judgement.mean_SG! * ROUND_TO) / ROUND_TO, 'float')
}

function trustedValue({ state }: Draft, channel: number): number | null {
  const known = state.channels[channel]
  return known?.trusted ? known.value : null
}

/** The answer stands as long as the two temperatures stay on the same side of what they may differ by. */
function watchTemperatures(draft: Draft, { temperatureChannel, probeChannel, apart_K }: FloatBounds): void {
  const { scope } = draft
  const float_C = trustedValue(draft, temperatureChannel)
  const beer_C = trustedValue(draft, probeChannel)
  if (float_C === null || beer_C === null) return
  const middle_C = (float_C + beer_C) / 2
  const half_K = apart_K / 2
  if (Math.abs(float_C - beer_C) <= apart_K) {
    scope.between(temperatureChannel, middle_C - half_K, middle_C + half_K)
    scope.between(probeChannel, middle_C - half_K, middle_C + half_K)
    return
  }
  const [above, below] =
    float_C > beer_C ? [temperatureChannel, probeChannel] : [probeChannel, temperatureChannel]
  scope.between(above, middle_C + half_K, Number.POSITIVE_INFINITY)
  scope.between(below, Number.NEGATIVE_INFINITY, middle_C - half_K)
}
