import { awaitedUntil_s } from './belief.ts'
import { believed, channelInCharge, type Draft } from './draft.ts'
import { hasCome, reachedLastsUntil_s, stageLastsUntil_s } from './hold.ts'
import { and, FALSE, not, or, TRUE, type Truth, truthOf, UNKNOWN } from './kleene.ts'
import { originalGravity } from './original-gravity.ts'
import type { Test } from './program.ts'
import { trendOf } from './trend.ts'

const DAY_S = 86_400

/**
 * Whether a condition holds now, in three values. Every part is looked at even when the outcome is already settled,
 * because a dwell has to notice when its condition begins and ends.
 */
export function evaluate(draft: Draft, test: Test): Truth {
  const now = evaluateNow(draft, test)
  return test.dwell < 0 ? now : afterDwell(draft, test, now)
}

function evaluateNow(draft: Draft, test: Test): Truth {
  const { state, scope } = draft
  switch (test.kind) {
    case 'all': {
      let truth: Truth = TRUE
      for (const part of test.of) truth = and(truth, evaluate(draft, part))
      return truth
    }
    case 'any': {
      let truth: Truth = FALSE
      for (const part of test.of) truth = or(truth, evaluate(draft, part))
      return truth
    }
    case 'not':
      return not(evaluate(draft, test.of))
    case 'elapsed': {
      if (test.since === 'target' && state.reachedAt_s === null) {
        return believed(draft, draft.program.beer) === null ? UNKNOWN : FALSE
      }
      if (test.since === 'pitch') return from(draft, state.startedAt_s! + test.atLeast_s)
      const until_s =
        test.since === 'stage'
          ? stageLastsUntil_s(state, test.atLeast_s)
          : reachedLastsUntil_s(state, test.atLeast_s)
      return truthOf(hasCome(draft, until_s))
    }
    case 'compare': {
      const value = believed(draft, test.quantity)
      if (value === null) return UNKNOWN
      const threshold = thresholdOf(draft, test)
      if (threshold === null) return UNKNOWN
      const channel = channelInCharge(draft, test.quantity)
      return truthOf(
        test.atLeast ? scope.atLeast(channel, value, threshold) : scope.atMost(channel, value, threshold),
      )
    }
    case 'attenuation': {
      const value = believed(draft, test.quantity)
      if (value === null) return UNKNOWN
      const original = originalGravity(draft)
      const threshold = original - test.atLeast * (original - 1)
      return truthOf(scope.atMost(channelInCharge(draft, test.quantity), value, threshold))
    }
    case 'near target': {
      const value = believed(draft, draft.program.beer)
      if (value === null || state.target_C === null) return UNKNOWN
      const channel = channelInCharge(draft, draft.program.beer)
      const isAbove = scope.atLeast(channel, value, state.target_C - test.within_K)
      const isBelow = scope.atMost(channel, value, state.target_C + test.within_K)
      return truthOf(isAbove && isBelow)
    }
    case 'fall': {
      const trend = trendOf(historyOf(draft, test.quantity), test.over_s)
      if (trend === null) return UNKNOWN
      return truthOf(
        test.atLeast ? -trend.slope_per_s >= test.rate_per_s : -trend.slope_per_s <= test.rate_per_s,
      )
    }
    case 'steady': {
      const trend = trendOf(historyOf(draft, test.quantity), test.for_s)
      if (trend === null) return UNKNOWN
      return truthOf(Math.abs(trend.slope_per_s) * test.for_s <= test.within)
    }
    case 'calendar':
      return from(draft, test.local_s - draft.program.localOffset_s)
    case 'time of day':
      return isTimeOfDay(draft, test.from_s, test.to_s)
    case 'done':
      return truthOf(state.tasksDone.includes(test.task))
  }
}

/** A moment that lies ahead is waited for. */
function from(draft: Draft, from_s: number): Truth {
  if (draft.now_s >= from_s) return TRUE
  draft.scope.wake(from_s)
  return FALSE
}

function thresholdOf(draft: Draft, test: Test & { kind: 'compare' }): number | null {
  if (test.above === 'nothing') return test.threshold
  const final = test.above === 'final' ? draft.state.finalGravity : forecastOf(draft, test.forecast)
  return final === null ? null : final + test.threshold
}

/** Each further one may change what it is compared with. */
function forecastOf(draft: Draft, quantity: number): number | null {
  const channel = channelInCharge(draft, quantity)
  if (channel < 0) return null
  draft.scope.everyReading(channel)
  return draft.state.channels[channel]!.value
}

/** Readings of the channel in charge; none while the quantity is unknown. Each further one may change what they say. */
function historyOf(draft: Draft, quantity: number): readonly (readonly [number, number])[] {
  const channel = channelInCharge(draft, quantity)
  if (channel < 0) return []
  draft.scope.everyReading(channel)
  return draft.state.channels[channel]!.history
}

function isTimeOfDay(draft: Draft, from_s: number, to_s: number): Truth {
  const local_s = draft.now_s + draft.program.localOffset_s
  const sinceMidnight_s = local_s - Math.floor(local_s / DAY_S) * DAY_S
  const isInside =
    from_s <= to_s
      ? sinceMidnight_s >= from_s && sinceMidnight_s < to_s
      : sinceMidnight_s >= from_s || sinceMidnight_s < to_s
  const wait = (at_s: number) =>
    at_s > sinceMidnight_s ? at_s - sinceMidnight_s : at_s - sinceMidnight_s + DAY_S
  draft.scope.wake(draft.now_s + Math.min(wait(from_s), wait(to_s)))
  return truthOf(isInside)
}

/**
 * True only after it has been true without a break for `lasting_s`; unknown or false starts the time anew. A restart of the
 * software is no break: what was true before, and is so when the thermometer has been read anew, was true in between.
 */
function afterDwell(draft: Draft, test: Test, now: Truth): Truth {
  const { state, scope, now_s } = draft
  const { trueSince_s } = state.dwells[test.dwell]!
  if (now !== TRUE) {
    if (now === UNKNOWN && isAwaited(draft, test)) return now
    if (trueSince_s !== null) state.dwells = state.dwells.with(test.dwell, { trueSince_s: null })
    return now
  }
  const since_s = trueSince_s ?? now_s
  if (trueSince_s === null) state.dwells = state.dwells.with(test.dwell, { trueSince_s: since_s })
  if (now_s >= since_s + test.lasting_s) return TRUE
  scope.wake(since_s + test.lasting_s)
  return FALSE
}

/** Unknown only because thermometers have to be read anew after a restart. */
function isAwaited({ program, state, scope, now_s }: Draft, test: Test): boolean {
  if (state.restartedAt_s == null) return false
  for (const quantity of [program.beer, program.air]) {
    if (quantity < 0 || state.inCharge[quantity] !== -1 || !asksFor(test, quantity, program.beer)) continue
    const until_s = awaitedUntil_s(program, state, quantity)
    if (until_s === null || now_s >= until_s) continue
    scope.wake(until_s)
    return true
  }
  return false
}

function asksFor(test: Test, quantity: number, beer: number): boolean {
  switch (test.kind) {
    case 'all':
    case 'any':
      return test.of.some(part => asksFor(part, quantity, beer))
    case 'not':
      return asksFor(test.of, quantity, beer)
    case 'compare':
    case 'steady':
      return test.quantity === quantity
    case 'near target':
      return quantity === beer
    case 'elapsed':
      return test.since === 'target' && quantity === beer
    default:
      return false
  }
}
