import { describe, expect, it } from 'vitest'
import { ON_OFF } from '../testing/small-house.ts'
import { sampleAirTarget } from './cascade.ts'
import { bumpless, type PidMemory, pidSample } from './pid.ts'
import { pulse } from './proportional.ts'

/** Worked out by hand, to the last digit. */
const PID = { gain_per_K: 0.5, integral_s: 1000, derivative_s: 100 }
const memory = (integral: number, lastMeasured_C: number | null = null): PidMemory => ({
  integral,
  lastMeasured_C,
  output: 0,
})

describe('a sample of a PID controller', () => {
  it('adds the error, its sum, and the slope of what is measured', () => {
    // 0.5 · 0.5 K; 0.1 and 0.5 · 0.5 K · 100 s / 1000 s; −0.5 · 100 s · 0.5 K / 100 s.
    const { integral, output, lastMeasured_C } = pidSample(PID, memory(0.1, 17), 18, 17.5, 100, -1, 1)
    expect(integral).toBeCloseTo(0.125, 12)
    expect(output).toBeCloseTo(0.25 + 0.125 - 0.25, 12)
    expect(lastMeasured_C).toBe(17.5)
  })

  it('knows no slope at its first measurement, nor within no time', () => {
    expect(pidSample(PID, memory(0.1), 18, 17.5, 100, -1, 1).output).toBeCloseTo(0.375, 12)
    expect(pidSample(PID, memory(0.1, 17), 18, 17.5, 0, -1, 1).output).toBeCloseTo(0.35, 12)
  })

  it('without an integral part keeps none', () => {
    const { integral, output } = pidSample({ ...PID, integral_s: 0 }, memory(0), 18, 17.5, 100, -1, 1)
    expect(integral).toBe(0)
    expect(output).toBeCloseTo(0.25, 12)
    expect(pidSample({ ...PID, integral_s: 0 }, memory(0), 18, 18, 100, -1, 1).output).toBe(0)
    expect(pidSample({ ...PID, integral_s: 0 }, memory(0.4), 18, 17.5, 100, -1, 1).integral).toBe(0)
  })

  for (const way of [1, -1]) {
    const sample = (integral: number, error_K: number, last_C: number | null = null) =>
      pidSample(PID, memory(way * integral, last_C), 18, 18 - way * error_K, 100, -1, 1)

    it(`does not wind up at the ${way > 0 ? 'upper' : 'lower'} limit, and stays within it`, () => {
      const { integral, output } = sample(0.9, 0.5)
      expect(integral).toBeCloseTo(way * 0.9, 12)
      expect(output).toBe(way)
      // Just at the limit it still may.
      expect(sample(0.725, 0.5).integral).toBeCloseTo(way * 0.75, 12)
      expect(sample(0.99, 0.1).integral).toBeCloseTo(way * 0.99, 12)
    })

    it(`unwinds at the ${way > 0 ? 'upper' : 'lower'} limit when the error has turned`, () => {
      // The slope alone holds the output at its limit; the error is −0.1 K.
      expect(sample(1, -0.1, 18 + way * 3).integral).toBeCloseTo(way * 0.995, 12)
      expect(sample(0.3, -0.1, 18 + way * 3).integral).toBeCloseTo(way * 0.295, 12)
    })
  }
})

describe('other settings in the middle of a batch', () => {
  it('make no bump: the integral part takes up the difference, as far as it may', () => {
    const before = { ...memory(0.3, 17), output: 0.5 }
    const after = bumpless({ ...PID, gain_per_K: 0.4 }, before, 0.5, -1, 1)
    expect(after.integral).toBeCloseTo(0.3, 12)
    expect(after).toMatchObject({ lastMeasured_C: 17, output: 0.5 })
    expect(bumpless(PID, before, 10, -1, 1).integral).toBe(-1)
    expect(bumpless(PID, before, -10, -1, 1).integral).toBe(1)
  })
})

describe('a pulse', () => {
  it('is heat above zero, cold below, and nothing that would only wear the relay', () => {
    expect(pulse(0.25, 600, 1000)).toMatchObject({ windowFrom_s: 1000, heatUntil_s: 1150, coolUntil_s: 1000 })
    expect(pulse(-0.25, 600, 1000)).toMatchObject({ heatUntil_s: 1000, coolUntil_s: 1150 })
    expect(pulse(0.02, 600, 1000)).toMatchObject({ heatUntil_s: 1012 })
    expect(pulse(0.019, 600, 1000)).toMatchObject({ output: 0.019, heatUntil_s: 1000, coolUntil_s: 1000 })
    expect(pulse(-0.019, 600, 1000)).toMatchObject({ heatUntil_s: 1000, coolUntil_s: 1000 })
  })
})

describe('the target of the air', () => {
  it('is no negative zero, which would not survive JSON', () => {
    const before = {
      ...memory(0),
      wantHeat: false,
      wantCool: false,
      stage: -1,
      windowFrom_s: null,
      heatUntil_s: 0,
      coolUntil_s: 0,
      airTarget_C: null,
    }
    expect(sampleAirTarget(before, ON_OFF, 0, -0.02, -0.02, 1000).airTarget_C).toBe(0)
  })
})
