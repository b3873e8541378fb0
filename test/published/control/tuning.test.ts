import {
  tuneAmigoPi,
  tuneAmigoPid,
  tuneAmigoPidIntegrating,
  tuneAmigoPiIntegrating,
} from '@attemper/core/bench/amigo.ts'
import { tuneLambdaPi, tuneLambdaPiIntegrating } from '@attemper/core/bench/lambda.ts'
import { idealFromSeries, type PidTuning } from '@attemper/core/bench/pid-tuning.ts'
import { firstOrder, type ProcessModel, reduceByHalfRule } from '@attemper/core/bench/process-model.ts'
import { largestSensitivity } from '@attemper/core/bench/sensitivity.ts'
import { tuneSimcPi, tuneSimcPid } from '@attemper/core/bench/simc.ts'
import { recommendProportional } from '@attemper/core/bench/tune.ts'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../judge-all.ts'
import { CONTROL, type FirstOrderCase, relativeError } from './control-data.ts'

const TABLE_DIGITS = 1e-8

function expectSettings(found: PidTuning, expected: { Kc: number; Ti: number; Td?: number }): void {
  expect(relativeError(found.gain, expected.Kc)).toBeLessThan(TABLE_DIGITS)
  expect(relativeError(found.integral_s, expected.Ti)).toBeLessThan(TABLE_DIGITS)
  if (expected.Td === undefined) expect(found.derivative_s).toBe(0)
  else expect(relativeError(found.derivative_s, expected.Td)).toBeLessThan(TABLE_DIGITS)
}

/** Table of worked cases: settings good to ten digits, sensitivities to the four decimals printed. */
describe.each(CONTROL.pid.first_order_cases.map(one => [one.name, one] as const))(
  'tuning of the worked case %s',
  (_, { process: { K, T, L }, rules, performance }: FirstOrderCase) => {
    const model = firstOrder(K, T, L)
    const sensitivity = (settings: PidTuning, filterShare = 0) =>
      largestSensitivity(model, settings, filterShare)

    it('SIMC', () => {
      const found = tuneSimcPi(model)
      expectSettings(found, rules.simc.PI)
      expect(sensitivity(found)).toBeCloseTo(performance['simc.PI']?.Ms ?? Number.NaN, 3)
    })

    it('AMIGO', () => {
      const pi = tuneAmigoPi(K, T, L)
      expectSettings(pi, rules.amigo_step.PI)
      expect(sensitivity(pi)).toBeCloseTo(performance['amigo_step.PI']?.Ms ?? Number.NaN, 3)
      const pid = tuneAmigoPid(K, T, L)
      expectSettings(pid, rules.amigo_step.PID)
      expect(sensitivity(pid, 0.1)).toBeCloseTo(performance['amigo_step.PID']?.Ms ?? Number.NaN, 3)
    })

    it('lambda', () => {
      for (const rule of ['lambda_T', 'lambda_3L'] as const) {
        const found = tuneLambdaPi(K, T, L, rules[rule].lambda)
        expectSettings(found, rules[rule].PI)
        expect(sensitivity(found)).toBeCloseTo(performance[`${rule}.PI`]?.Ms ?? Number.NaN, 3)
      }
    })
  },
)

it('tunes a process that integrates', () => {
  const { process, ...rules } = CONTROL.pid.integrating_case
  const model: ProcessModel = { gain: process.kprime, lags_s: [], deadTime_s: process.L, integrating: true }
  const simc = tuneSimcPi(model)
  expectSettings(simc, rules['simc_PI_tauc=L'])
  expect(largestSensitivity(model, simc)).toBeCloseTo(rules['simc_PI_tauc=L'].Ms, 4)
  const amigo = tuneAmigoPiIntegrating(process.kprime, process.L)
  expectSettings(amigo, rules.amigo_PI)
  expect(largestSensitivity(model, amigo)).toBeCloseTo(rules.amigo_PI.Ms, 4)
  expectSettings(tuneAmigoPidIntegrating(process.kprime, process.L), rules.amigo_PID)
  const { lambda, Ms, ...settings } = rules['lambda_PI_lambda=3L']
  const found = tuneLambdaPiIntegrating(process.kprime, process.L, lambda)
  expectSettings(found, settings)
  expect(largestSensitivity(model, found)).toBeCloseTo(Ms, 4)
})

/** The processes of the SIMC paper's table, as lags, dead times and inverse responses. */
const SIMC_PROCESSES: Record<string, ProcessModel> = {
  E1: { gain: 1, lags_s: [1, 0.2], deadTime_s: 0 },
  E4: { gain: 1, lags_s: [1, 1, 1, 1], deadTime_s: 0 },
  E5: { gain: 1, lags_s: [1, 0.2, 0.04, 0.008], deadTime_s: 0 },
  E7: { gain: 1, lags_s: [1, 1, 1], deadTime_s: 0, inverse_s: [2] },
  E8: { gain: 1, lags_s: [1, 1], deadTime_s: 0, integrating: true },
  E9: { gain: 1, lags_s: [1, 1], deadTime_s: 1 },
  E10: { gain: 1, lags_s: [20, 2], deadTime_s: 1 },
  E11: { gain: 1, lags_s: [6, 2, 2], deadTime_s: 1, inverse_s: [1] },
}

describe('SIMC examples', () => {
  it.each(Object.entries(SIMC_PROCESSES))('%s', (name, process) => {
    const expected = CONTROL.pid.simc_examples[name]
    if (expected === undefined) throw new Error(`no check values for ${name}`)
    const reduced = reduceByHalfRule(process, 1)
    expect(reduced.deadTime_s).toBeCloseTo(expected.PI.theta, 12)
    expect(reduced.lag_s).toBeCloseTo(expected.PI.tau1 ?? Number.POSITIVE_INFINITY, 12)
    const pi = tuneSimcPi(process)
    expect(relativeError(pi.gain, expected.PI.Kc)).toBeLessThan(1e-6)
    expect(relativeError(pi.integral_s, expected.PI.tauI)).toBeLessThan(1e-9)
    expect(largestSensitivity(process, pi)).toBeCloseTo(expected.PI.Ms, 3)

    if (expected.PID_series === undefined) return
    const { theta, tau1, tau2, Kc, tauI, tauD, Ms } = expected.PID_series
    const second = reduceByHalfRule(process, 2)
    expect(second.deadTime_s).toBeCloseTo(theta, 12)
    expect(second.lag_s).toBeCloseTo(tau1 ?? Number.POSITIVE_INFINITY, 12)
    expect(second.secondLag_s).toBeCloseTo(tau2, 12)
    const series = tuneSimcPid(process)
    expect(relativeError(series.gain, Kc)).toBeLessThan(1e-6)
    expect(relativeError(series.integral_s, tauI)).toBeLessThan(1e-9)
    expect(relativeError(series.derivative_s, tauD)).toBeLessThan(1e-9)
    expect(largestSensitivity(process, idealFromSeries(series))).toBeCloseTo(Ms, 3)
  })

  it('E2, whose zero at 0.08 is first cancelled against the lag of 0.2', () => {
    const process: ProcessModel = {
      gain: 1,
      lags_s: [2, 1, 0.4, 0.12, 0.05, 0.05, 0.05],
      deadTime_s: 0,
      inverse_s: [0.3],
    }
    const expected = CONTROL.pid.simc_examples.E2
    expect(tuneSimcPi(process).gain).toBeCloseTo(expected?.PI.Kc ?? Number.NaN, 7)
    expect(tuneSimcPid(process).gain).toBeCloseTo(expected?.PID_series?.Kc ?? Number.NaN, 6)
    expect(reduceByHalfRule(process, 2).deadTime_s).toBeCloseTo(expected?.PID_series?.theta ?? Number.NaN, 12)
  })

  it('has the robustness that the rule promises', () => {
    const [cancelled, integrating] = Object.values(CONTROL.pid.simc_robustness)
    const slow = firstOrder(1, 8, 1)
    expect(largestSensitivity(slow, tuneSimcPi(slow))).toBeCloseTo(cancelled?.Ms ?? Number.NaN, 6)
    const ramp: ProcessModel = { gain: 1, lags_s: [], deadTime_s: 1, integrating: true }
    expect(largestSensitivity(ramp, tuneSimcPi(ramp))).toBeCloseTo(integrating?.Ms ?? Number.NaN, 6)
  })
})

it('turns series settings into ideal ones', () => {
  const { series, ideal } = CONTROL.pid.series_to_ideal.example_E4_PID
  expectSettings(
    idealFromSeries({
      form: 'series',
      gain: series.Kc,
      integral_s: series.tauI,
      derivative_s: series.tauD,
    }),
    ideal,
  )
})

describe('recommended settings', () => {
  it('fit the mash kettle of the worked case: SIMC with half the window counted as dead time', () => {
    const found = recommendProportional(firstOrder(60, 2100, 60), 2)
    expect(found.window_s).toBe(15)
    expect(found.windowBy).toBe('dead time')
    expect(found.gain_per_K).toBeCloseTo(2100 / (60 * 2 * 67.5), 12)
    expect(found.integral_s).toBeCloseTo(8 * 67.5, 12)
    expect(recommendProportional(firstOrder(60, 2100, 60), 30).window_s).toBe(120)
  })

  it('never leave a nervous loop, whatever the vessel', ({ task }) => {
    judge(
      task,
      { cases: 100, seed: 2003 },
      [
        fc.double({ min: 0.5, max: 200, noNaN: true }),
        fc.array(fc.double({ min: 30, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 3 }),
        fc.double({ min: 10, max: 3600, noNaN: true }),
        fc.double({ min: 1, max: 60, noNaN: true }),
      ],
      (gain, lags_s, deadTime_s, leastSwitching_s) => {
        const found = recommendProportional({ gain, lags_s, deadTime_s }, leastSwitching_s)
        expect(found.gain_per_K).toBeGreaterThan(0)
        expect(found.window_s).toBeGreaterThanOrEqual(4 * leastSwitching_s)
        expect(found.sensitivity).toBeLessThan(2)
      },
    )
  })
})
