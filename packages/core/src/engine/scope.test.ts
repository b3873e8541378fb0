import { describe, expect, it } from 'vitest'
import { Scope } from './scope.ts'

const NOW_S = 1000
const OPEN = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]

const bounds = (scope: Scope, channel = 0) => [scope.lower[channel], scope.upper[channel]]

describe('a comparison', () => {
  it.each([
    ['atLeast', 18, 18, true, [18, Number.POSITIVE_INFINITY]],
    ['atLeast', 17.9, 18, false, [Number.NEGATIVE_INFINITY, 18]],
    ['atMost', 18, 18, true, [Number.NEGATIVE_INFINITY, 18]],
    ['atMost', 18.1, 18, false, [18, Number.POSITIVE_INFINITY]],
  ] as const)('%s of %s with %s is %s, and stands on that side', (name, value, threshold, yes, expected) => {
    const scope = Scope.of(2)
    expect(scope[name](0, value, threshold)).toBe(yes)
    expect(bounds(scope)).toEqual(expected)
    expect(bounds(scope, 1)).toEqual(OPEN)
  })

  it('narrows further and never widens', () => {
    const scope = Scope.of(1)
    for (const threshold of [10, 12, 11]) scope.atLeast(0, 15, threshold)
    for (const threshold of [20, 18, 19]) scope.atLeast(0, 15, threshold)
    expect(bounds(scope)).toEqual([12, 18])
    for (const threshold of [13, 14, 12]) scope.atMost(0, 15, threshold)
    for (const threshold of [17, 16, 18]) scope.atMost(0, 15, threshold)
    expect(bounds(scope)).toEqual([14, 16])
  })

  it('of what no channel measures narrows nothing', () => {
    const scope = Scope.of(1)
    expect([scope.atLeast(-1, 3, 2), scope.atMost(-1, 3, 2)]).toEqual([true, false])
    expect([scope.atLeast(-1, 1, 2), scope.atMost(-1, 1, 2)]).toEqual([false, true])
    expect(Object.keys(scope.lower)).toEqual(['0'])
    expect(Object.keys(scope.upper)).toEqual(['0'])
  })
})

describe('bounds', () => {
  it('are the narrowest of all that were given', () => {
    const scope = Scope.of(1)
    scope.between(0, 10, 20)
    scope.between(0, 12, 21)
    scope.between(0, 11, 18)
    expect(bounds(scope)).toEqual([12, 18])
  })

  it('that nothing can keep ask for every reading', () => {
    const scope = Scope.of(2)
    scope.everyReading(1)
    expect(bounds(scope, 1)).toEqual([Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
    expect(bounds(scope, 0)).toEqual(OPEN)
  })
})

describe('how long an answer stands', () => {
  const until = (change: (scope: Scope) => void) => {
    const scope = Scope.of(1)
    change(scope)
    const { until_s, decidedUntil_s } = scope.stands(NOW_S, [false])
    return [until_s, decidedUntil_s]
  }

  it('is until the first of all that is due, in whole seconds', () => {
    expect(until(() => undefined)).toEqual([Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY])
    expect(
      until(scope => {
        scope.wake(1200)
        scope.wake(1100.2)
        scope.wake(1300)
      }),
    ).toEqual([1101, 1101])
  })

  it('is a second at least', () => {
    expect(until(scope => scope.wake(900))).toEqual([1001, 1001])
    expect(until(scope => scope.lookAgain())).toEqual([1001, 1001])
    expect(until(scope => scope.renew(900))).toEqual([1001, Number.POSITIVE_INFINITY])
  })

  it('tells a lease to be renewed from what has to be decided', () => {
    expect(
      until(scope => {
        scope.wake(1500)
        scope.renew(1300.5)
        scope.renew(1400)
      }),
    ).toEqual([1301, 1500])
    expect(
      until(scope => {
        scope.wake(1200)
        scope.renew(1300)
      }),
    ).toEqual([1200, 1200])
  })
})

describe('a copy', () => {
  it('has all that was asked so far, and is narrowed without the other', () => {
    const scope = Scope.of(1)
    scope.wake(1500)
    scope.between(0, 10, 20)
    scope.silence_s[0] = 60
    const copy = scope.copy()
    expect(copy).toEqual(scope)
    copy.between(0, 12, 18)
    copy.silence_s[0] = 30
    copy.wake(1200)
    expect(bounds(scope)).toEqual([10, 20])
    expect([scope.silence_s[0], scope.until_s]).toEqual([60, 1500])
  })

  it('of an answer that stands takes over all but its leases', () => {
    const scope = Scope.of(1)
    scope.between(0, 10, 20)
    scope.wake(1500)
    scope.renew(1200)
    const stands = scope.stands(NOW_S, [true])
    const again = Scope.holding(stands)
    expect(again.stands(NOW_S, [true])).toEqual({ ...stands, until_s: 1500 })
    again.between(0, 12, 18)
    again.silence_s[0] = 1
    expect([stands.lower[0], stands.upper[0], stands.silence_s[0]]).toEqual([
      10,
      20,
      Number.POSITIVE_INFINITY,
    ])
    const { decidedUntil_s: _, ...older } = stands
    expect(Scope.holding(older).until_s).toBe(1200)
  })
})
