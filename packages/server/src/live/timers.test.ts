import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { timersOf } from './timers.ts'

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

const clockOf = (speed: number) => ({ now_ms: () => Date.now() * speed, speed })

describe('a timer of the platform', () => {
  it('rings at a time of the cellar, also of one that runs faster', () => {
    const clock = clockOf(60)
    const rings: number[] = []
    timersOf(clock).set(clock.now_ms() + 120_000, () => rings.push(1))
    vi.advanceTimersByTime(1999)
    expect(rings).toEqual([])
    vi.advanceTimersByTime(1)
    expect(rings).toEqual([1])
  })

  it('waits longer than the platform can at once (2^31 - 1 ms), and can be called off', () => {
    const clock = clockOf(1)
    const days = 60 * 86_400_000
    let rings = 0
    const timers = timersOf(clock)
    timers.set(clock.now_ms() + days, () => rings++)
    const off = timers.set(clock.now_ms() + days, () => rings++)
    vi.advanceTimersByTime(days - 1)
    expect(rings).toBe(0)
    off()
    vi.advanceTimersByTime(1)
    expect(rings).toBe(1)
    expect(vi.getTimerCount()).toBe(0)
  })
})
