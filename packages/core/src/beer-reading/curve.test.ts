import { describe, expect, it } from 'vitest'
import { CURVE, CURVE_SIZE, courseOf, leftAt, tauWhenLeft_h } from './curve.ts'

function course(half_h: number, ramp: number, lag: number, shortage: number) {
  const points = new Float64Array(CURVE_SIZE)
  points[CURVE.half] = Math.log(half_h)
  points[CURVE.ramp] = Math.log(ramp)
  points[CURVE.lag] = lag
  points[CURVE.shortage] = Math.log(shortage)
  return courseOf(points, 0)
}

describe('the curve of a fermentation', () => {
  const courses = [0.02, 0.2, 2].flatMap(shortage =>
    [1.5, 8, 30].flatMap(ramp => [-2, 0, 2].map(lag => course(50, ramp, lag, shortage))),
  )

  it('begins at the whole fall and has passed half of it at the half-time', () => {
    for (const each of courses) {
      expect(leftAt(each, 0)).toBeCloseTo(1, 9)
      expect(leftAt(each, 50)).toBeCloseTo(0.5, 6)
    }
  })

  it('falls all the time, and its times are the inverse of what is left', () => {
    for (const each of courses) {
      let before = 1
      for (let tau_h = 5; tau_h <= 80; tau_h += 5) {
        const left = leftAt(each, tau_h)
        expect(left).toBeLessThanOrEqual(before)
        if (left > 1e-3 && left < 0.999) expect(tauWhenLeft_h(each, left)).toBeCloseTo(tau_h, 3)
        before = left
      }
    }
  })

  it('obeys dF/dw = -F/(shortage + F) once the ramp is behind it', () => {
    const each = course(50, 40, -1, 0.3)
    const step_h = 1e-3
    for (const tau_h of [55, 70, 90]) {
      const left = leftAt(each, tau_h)
      const rate = (leftAt(each, tau_h + step_h) - leftAt(each, tau_h - step_h)) / (2 * step_h)
      const work = each.work * each.ramp
      expect(rate / work).toBeCloseTo(-left / (0.3 + left), 4)
    }
  })
})
