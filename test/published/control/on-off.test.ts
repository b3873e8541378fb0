import {
  type LimitCycle,
  limitCycle,
  limitCycleOfSlopes,
  limitCycleWithLeastTimes,
  type SwitchedProcess,
} from '@attemper/core/bench/limit-cycle.ts'
import { limitCycleOfTwoLags } from '@attemper/core/bench/limit-cycle-of-two-lags.ts'
import { identifyFirstOrder, staticGain, ultimateGain } from '@attemper/core/bench/relay-test.ts'
import { FIRST_SHARE, fitTwoPoints, SECOND_SHARE } from '@attemper/core/bench/step-test.ts'
import { describe, expect, it } from 'vitest'
import { CONTROL, type Inputs } from './control-data.ts'

function heating(inputs: Inputs): SwitchedProcess {
  return {
    whenOn_C: inputs.Y_on,
    whenOff_C: inputs.Y_off,
    lag_s: inputs.T,
    deadTime_s: inputs.L,
    startsAt_C: inputs.lo,
    stopsAt_C: inputs.hi,
  }
}

/** The same process seen from the other side: what was a heater becomes a cooler. */
function mirrored(process: SwitchedProcess): SwitchedProcess {
  return {
    ...process,
    whenOn_C: -process.whenOn_C,
    whenOff_C: -process.whenOff_C,
    startsAt_C: -process.startsAt_C,
    stopsAt_C: -process.stopsAt_C,
  }
}

function relay(gain: number, up: number, down: number, hysteresis: number) {
  return { whenOn_C: gain * up, whenOff_C: -gain * down, startsAt_C: -hysteresis, stopsAt_C: hysteresis }
}

function found(cycle: LimitCycle | null): LimitCycle {
  if (cycle === null) throw new Error('no limit cycle was found')
  return cycle
}

const HEATING = ['heat_60min_deadtime2', 'heat_no_deadtime', 'heat_no_hysteresis', 'fermenter_pad'] as const

describe('limit cycle of first order with dead time', () => {
  it.each(HEATING)('%s', name => {
    const { inputs, exact } = CONTROL.on_off[name]
    const cycle = found(limitCycle(heating(inputs)))
    expect(cycle.afterOff_C).toBeCloseTo(exact.y_max, 9)
    expect(cycle.afterOn_C).toBeCloseTo(exact.y_min, 9)
    expect(cycle.on_s).toBeCloseTo(exact.t_on, 9)
    expect(cycle.off_s).toBeCloseTo(exact.t_off, 8)
    expect(cycle.period_s).toBeCloseTo(exact.period, 8)
    expect(cycle.duty).toBeCloseTo(exact.duty, 10)
    expect(cycle.mean_C).toBeCloseTo(exact.mean, 8)
  })

  it('is the same for a cooler, mirrored', () => {
    const process = heating(CONTROL.on_off.fermenter_pad.inputs)
    const warm = found(limitCycle(process))
    const cold = found(limitCycle(mirrored(process)))
    expect(cold.period_s).toBeCloseTo(warm.period_s, 10)
    expect(cold.afterOff_C).toBeCloseTo(-warm.afterOff_C, 10)
    expect(cold.afterOn_C).toBeCloseTo(-warm.afterOn_C, 10)
  })

  it('does not exist when the appliance is too weak or the points are swapped', () => {
    const process = heating(CONTROL.on_off.fermenter_pad.inputs)
    expect(limitCycle({ ...process, whenOn_C: 20 })).toBeNull()
    expect(limitCycle({ ...process, whenOff_C: 19.95 })).toBeNull()
    expect(limitCycle({ ...process, startsAt_C: 20.1, stopsAt_C: 19.9 })).toBeNull()
    expect(limitCycleWithLeastTimes({ ...process, whenOn_C: 20 }, 60, 60)).toBeNull()
    expect(limitCycleOfTwoLags({ ...process, whenOn_C: 20 }, 5)).toBeNull()
  })

  it.each(HEATING)('is near the one of constant slopes: %s', name => {
    const { inputs, constant_slope_approximation: expected } = CONTROL.on_off[name]
    const slopes = limitCycleOfSlopes(
      (inputs.Y_on - (inputs.lo + inputs.hi) / 2) / inputs.T,
      ((inputs.lo + inputs.hi) / 2 - inputs.Y_off) / inputs.T,
      inputs.L,
      inputs.hi - inputs.lo,
    )
    expect(inputs.hi + slopes.overshootAfterOff_K).toBeCloseTo(expected.y_max, 5)
    expect(inputs.lo - slopes.overshootAfterOn_K).toBeCloseTo(expected.y_min, 5)
    expect(slopes.period_s).toBeCloseTo(expected.period, 5)
  })
})

describe('limit cycle of two lags', () => {
  it.each(CONTROL.on_off.two_time_constants.map((one, index) => [index, one] as const))(
    'worked case %d',
    (_, { inputs, exact }) => {
      const cycle = found(limitCycleOfTwoLags(heating({ ...inputs, T: inputs.T1 }), inputs.T2))
      expect(cycle.on_s).toBeCloseTo(exact.t_on, 9)
      expect(cycle.off_s).toBeCloseTo(exact.t_off, 8)
      expect(cycle.afterOff_C).toBeCloseTo(exact.y_max, 8)
      expect(cycle.afterOn_C).toBeCloseTo(exact.y_min, 8)
      expect(cycle.mean_C).toBeCloseTo(exact.mean, 8)
    },
  )

  it.each(CONTROL.on_off.relay_symmetric_two_lags.map((one, index) => [index, one] as const))(
    'symmetrical relay, worked case %d',
    (_, { inputs: { K, T1, T2, L, d, eps }, period, amplitude }) => {
      const process = { ...relay(K, d, d, eps), lag_s: T1, deadTime_s: L }
      const cycle = found(limitCycleOfTwoLags(process, T2))
      expect(cycle.period_s).toBeCloseTo(period, 8)
      expect(cycle.afterOff_C).toBeCloseTo(amplitude, 10)
      expect(cycle.afterOn_C).toBeCloseTo(-amplitude, 10)
    },
  )
})

it.each(CONTROL.on_off.min_off_time.map((one, index) => [index, one] as const))(
  'least times of a compressor, worked case %d',
  (_, expected) => {
    const { Y_cool, Y_amb, T, lo, hi, M_off, M_on } = expected.inputs
    const cooling = { whenOn_C: Y_cool, whenOff_C: Y_amb, lag_s: T, startsAt_C: hi, stopsAt_C: lo }
    const natural = found(limitCycleWithLeastTimes(cooling, 0, 0))
    expect(natural.off_s).toBeCloseTo(expected.natural_t_off, 9)
    expect(natural.on_s).toBeCloseTo(expected.natural_t_on, 9)
    const forced = found(limitCycleWithLeastTimes(cooling, M_on, M_off))
    expect(forced.off_s).toBeCloseTo(expected.t_off, 9)
    expect(forced.on_s).toBeCloseTo(expected.t_on, 9)
    expect(forced.afterOn_C).toBeCloseTo(expected.y_high, 9)
    expect(forced.afterOff_C).toBeCloseTo(expected.y_low, 9)
    expect(60 / forced.period_s).toBeCloseTo(expected.starts_per_h, 8)
  },
)

it('forces only the phase that is too short', () => {
  const cooling = { whenOn_C: -15, whenOff_C: 22, lag_s: 20, startsAt_C: 12.25, stopsAt_C: 11.75 }
  const longOff = found(limitCycleWithLeastTimes(cooling, 0, 5))
  expect(longOff.afterOff_C).toBeCloseTo(11.75, 12)
  expect(longOff.off_s).toBeCloseTo(5, 12)
  const longOn = found(limitCycleWithLeastTimes(cooling, 2, 0))
  expect(longOn.afterOn_C).toBeCloseTo(12.25, 12)
  expect(longOn.on_s).toBeCloseTo(2, 12)
})

describe('relay test', () => {
  it.each(CONTROL.on_off.relay_symmetric_fopdt.map((one, index) => [index, one] as const))(
    'gives lag and dead time back, worked case %d',
    (_, { inputs: { K, T, L, d, eps }, a, period, Ku_df_hysteresis }) => {
      const cycle = found(limitCycle({ ...relay(K, d, d, eps), lag_s: T, deadTime_s: L }))
      expect(cycle.afterOff_C).toBeCloseTo(a, 11)
      expect(cycle.period_s).toBeCloseTo(period, 8)
      const swing = { relay: d, hysteresis: eps, amplitude: cycle.afterOff_C, period_s: cycle.period_s }
      const model = identifyFirstOrder(swing, K)
      expect(model?.lag_s).toBeCloseTo(T, 8)
      expect(model?.deadTime_s).toBeCloseTo(L, 8)
      expect(ultimateGain(swing)).toBeCloseTo(Ku_df_hysteresis, 8)
    },
  )

  it('gives the static gain when the relay is not symmetrical', () => {
    const { inputs, ...expected } = CONTROL.on_off.relay_biased_fopdt
    const { K, T, L, d_plus, d_minus, eps } = inputs
    const cycle = found(limitCycle({ ...relay(K, d_plus, d_minus, eps), lag_s: T, deadTime_s: L }))
    expect(cycle.afterOff_C).toBeCloseTo(expected.y_max, 11)
    expect(cycle.afterOn_C).toBeCloseTo(expected.y_min, 11)
    expect(cycle.on_s).toBeCloseTo(expected.t_on, 9)
    expect(cycle.off_s).toBeCloseTo(expected.t_off, 9)
    expect(cycle.mean_C).toBeCloseTo(expected.mean, 11)
    const meanInput = cycle.duty * d_plus - (1 - cycle.duty) * d_minus
    expect(staticGain(cycle.mean_C, meanInput)).toBeCloseTo(K, 10)
  })

  it('is exact with constant slopes for a process that integrates', () => {
    const { k, L, d, eps, a, period } = CONTROL.on_off.relay_integrator.example
    const swing = limitCycleOfSlopes(k * d, k * d, L, 2 * eps)
    expect(eps + swing.overshootAfterOff_K).toBeCloseTo(a, 12)
    expect(swing.period_s).toBeCloseTo(period, 10)
  })

  it('refuses a swing that no first-order process makes', () => {
    const swing = { relay: 1, hysteresis: 0.1, amplitude: 0.4, period_s: 90 }
    expect(identifyFirstOrder(swing, 2)).not.toBeNull()
    expect(identifyFirstOrder({ ...swing, amplitude: 0.05 }, 2)).toBeNull()
    expect(identifyFirstOrder({ ...swing, amplitude: 2.5 }, 2)).toBeNull()
    expect(identifyFirstOrder({ ...swing, amplitude: Number.NaN }, 2)).toBeNull()
  })
})

it('fits a first-order model to two points of a step response', () => {
  const { two_point } = CONTROL.on_off
  expect(FIRST_SHARE).toBeCloseTo(two_point.fractions_exact[0], 11)
  expect(SECOND_SHARE).toBeCloseTo(two_point.fractions_exact[1], 11)
  for (const name of ['T1=100,T2=20,L=10', 'identity_check_FOPDT T=100 L=20'] as const) {
    const expected = two_point[name]
    const model = fitTwoPoints(expected.t28, expected.t63)
    expect(model.lag_s).toBeCloseTo(expected.T, 6)
    expect(model.deadTime_s).toBeCloseTo(expected.L, 6)
  }
})
