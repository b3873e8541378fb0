import type { YeastClass } from '@attemper/core/beer/beer.ts'
import { EXTRACT_PER_ETHANOL } from '@attemper/core/world/fermentation/balling.ts'
import { cardinalFactor } from '@attemper/core/world/fermentation/cardinal-temperature.ts'
import { describe, expect, test } from 'vitest'
import { at, type Course, fallsBelow, integrate, peak } from './course.ts'
import {
  ACTIVE,
  andresToro,
  andresToroRates,
  DEAD,
  DIACETYL,
  ETHANOL,
  ETHYL_ACETATE,
  LATENT,
  SUGAR,
} from './de-andres-toro.ts'
import * as GeeRamirez from './gee-ramirez.ts'
import { fitLogistic, logistic_P } from './logistic.ts'
import { ferment, type Moment, publishedParameters } from './published-core.ts'
import { allowance, type Check, checksOf, isothermOf, timeOf } from './reference.ts'

/**
 * The integrator of the core, driven with models that others have published. Values: kinetics.json, computed there with
 * LSODA (relative tolerance 1e-9). Every value is checked; one that no branch below knows fails.
 */

function courses<Key>(make: (key: Key) => Course): (key: Key) => Course {
  const known = new Map<Key, Course>()
  return key => {
    const course = known.get(key) ?? make(key)
    known.set(key, course)
    return course
  }
}

describe('de Andres-Toro et al. 1998', () => {
  const START_SUGAR = 130
  // The industrial profile, linear between these points (h, °C).
  const PROFILE = [
    [0, 11],
    [24, 14],
    [120, 14],
    [145, 16],
    [170, 16],
    [200, 0],
  ] as const
  const profile_C = (time_h: number) => {
    for (let i = 1; i < PROFILE.length; i++) {
      const [t0, c0] = PROFILE[i - 1]!
      const [t1, c1] = PROFILE[i]!
      if (time_h <= t1) return c0 + ((c1 - c0) * (time_h - t0)) / (t1 - t0)
    }
    return 0
  }
  const courseAt = courses<string>(conditions => {
    const isothermal = /^isothermal ([\d.]+) C/.exec(conditions)
    const fixed = isothermal ? andresToroRates(Number(isothermal[1]), START_SUGAR) : undefined
    return integrate(
      andresToro,
      time_h => fixed ?? andresToroRates(profile_C(time_h), START_SUGAR),
      [2, 0, 2, START_SUGAR, 0, 0, 0],
      200,
      0.05,
    )
  })
  const columns: Readonly<Record<string, number>> = {
    X_L: LATENT,
    X_A: ACTIVE,
    X_D: DEAD,
    S: SUGAR,
    E: ETHANOL,
    DY: DIACETYL,
    EA: ETHYL_ACETATE,
  }
  const result = (check: Check): number => {
    const course = courseAt(check.conditions.split('; t =')[0]!)
    switch (check.quantity) {
      case 'peak DY':
        return peak(course, y => y[DIACETYL]!).value
      case 'time of DY peak':
        return peak(course, y => y[DIACETYL]!).time_h
      case 'time when S first < 0.5 g/L':
        return fallsBelow(course, 0.5, y => y[SUGAR]!)
      case 'time when DY falls below 0.1 ppm':
        return fallsBelow(course, 0.1, y => y[DIACETYL]!)
      case 'peak total suspended biomass':
        return peak(course, y => y[LATENT]! + y[ACTIVE]! + y[DEAD]!).value
    }
    const column = columns[check.quantity]
    return column === undefined ? Number.NaN : at(course, timeOf(check), y => y[column]!)
  }
  test.each(checksOf('andres-toro-1998'))('$conditions: $quantity', check => {
    expect(Math.abs(result(check) - check.value)).toBeLessThanOrEqual(allowance(check))
  })
})

describe('Gee and Ramirez 1988', () => {
  const hexoses = (y: Float64Array) =>
    y[GeeRamirez.GLUCOSE]! + 2 * y[GeeRamirez.MALTOSE]! + 3 * y[GeeRamirez.MALTOTRIOSE]!
  const courseAt = courses<string>(conditions => {
    const start = /G,M,N,X = ([\d,]+) mol/.exec(conditions)!
    const temperature_C = Number(/isothermal ([\d.]+) C/.exec(conditions)![1])
    const rates = GeeRamirez.geeRamirezRates(temperature_C)
    // The last glucose is stiff above 12 °C (time constant 20 s at 20 °C), hence the short step.
    const step_h = temperature_C > 12 ? 0.005 : 0.02
    const numbers = [...start[1]!.split(',').map(Number), 0]
    return integrate(GeeRamirez.geeRamirez, () => rates, numbers, 400, step_h)
  })
  const columns: Readonly<Record<string, number>> = {
    G: GeeRamirez.GLUCOSE,
    M: GeeRamirez.MALTOSE,
    N: GeeRamirez.MALTOTRIOSE,
    X: GeeRamirez.YEAST,
    E: GeeRamirez.ETHANOL,
  }
  const result = (check: Check): number => {
    const constant = /^(\d+) C$/.exec(check.conditions)
    if (constant) {
      const rates = GeeRamirez.geeRamirezRates(Number(constant[1])) as Readonly<Record<string, number>>
      return rates[check.quantity] ?? Number.NaN
    }
    if (check.conditions.startsWith('complete uptake')) {
      // The yield in ethanol is the same per hexose whichever sugar is eaten: run the warmest course to its end.
      const course = courseAt('isothermal 20 C; G,M,N,X = 70,220,40,125 mol/m3; E = 0')
      const left = at(course, 400, hexoses)
      return at(course, 400, y => y[GeeRamirez.ETHANOL]!) + 1.92 * left
    }
    const course = courseAt(check.conditions.split('; t =')[0]!)
    const start = hexoses(course.states[0]!)
    if (check.quantity.startsWith('t50')) return fallsBelow(course, 0.5 * start, hexoses)
    if (check.quantity.startsWith('t90')) return fallsBelow(course, 0.1 * start, hexoses)
    const column = columns[check.quantity]
    return column === undefined ? Number.NaN : at(course, timeOf(check), y => y[column]!)
  }
  test.each(checksOf('gee-ramirez-1988-growth'))('$conditions: $quantity', check => {
    expect(Math.abs(result(check) - check.value)).toBeLessThanOrEqual(allowance(check))
  })
})

describe('logistic gravity curve', () => {
  const example = { first_P: 12.5, last_P: 2.5, slope_per_h: 0.08, middle_h: 40 }
  const fits = new Map<string, ReturnType<typeof fitLogistic>>()
  const fitTo = (check: Check) => {
    const known = fits.get(check.conditions)
    if (known) return known
    const yeastClass = check.conditions.includes('lager') ? 'lager' : 'ale'
    const last_h = Number(/over 0-(\d+) h/.exec(check.conditions)![1])
    const temperature_C = yeastClass === 'lager' ? 12 : 20
    const parameters = publishedParameters(yeastClass)
    const moments = ferment(parameters, () => temperature_C, last_h)
    const times = Array.from({ length: 200 }, (_, i) => (i * last_h) / 199)
    // As the reference: apparent extract with 0.81 and a wort of 1.03 kg/L.
    const extracts = times.map(time_h => {
      const i = Math.min(moments.length - 2, Math.floor(time_h * 12))
      const share = time_h * 12 - i
      const extract = moments[i]!.y[2]! * (1 - share) + moments[i + 1]!.y[2]! * share
      return 12 - (parameters.fermentable_g_per_L - extract) / 10.3 / 0.81
    })
    const guess = { first_P: 12.5, last_P: 2.5, slope_per_h: 8 / last_h, middle_h: 0.3 * last_h }
    const fit = fitLogistic(times, extracts, guess)
    fits.set(check.conditions, fit)
    return fit
  }
  const result = (check: Check): number => {
    if (check.conditions.startsWith('Pi 12.5')) return logistic_P(example, timeOf(check))
    if (check.quantity.startsWith('steepest fall')) {
      return (logistic_P(example, 40 - 1e-3) - logistic_P(example, 40 + 1e-3)) / 2e-3
    }
    const fit = fitTo(check)
    const values: Readonly<Record<string, number>> = {
      Pi: fit.first_P,
      Pe: fit.last_P,
      B: fit.slope_per_h,
      M: fit.middle_h,
    }
    return values[check.quantity] ?? Number.NaN
  }
  test.each(checksOf('logistic-4p'))('$conditions: $quantity', check => {
    // A slope by differences can not reach the 1e-9 that the reference asks of the closed form B (Pi - Pe) / 4.
    const slack = check.quantity.startsWith('steepest') ? 1e-8 : 0
    expect(Math.abs(result(check) - check.value)).toBeLessThanOrEqual(allowance(check) + slack)
  })
})

describe('core model at 12 °P', () => {
  const parametersOf = (check: Check) =>
    publishedParameters(/^(ale|lager|saison|kveik|wheat)/.exec(check.conditions)![1] as YeastClass)
  const runs = new Map<string, readonly Moment[]>()
  const runOf = (check: Check): readonly Moment[] => {
    const chilled = check.conditions.includes('chilled too early')
    const key = check.conditions.split(/; t =|, F0/)[0]!
    const known = runs.get(key)
    if (known) return known
    // Chilled too early: 20 °C for 40 h, then down 1 °C/h to 3 °C.
    const temperatureAt = chilled
      ? (time_h: number) => Math.max(3, 20 - Math.max(0, time_h - 40))
      : () => isothermOf(check)
    const run = ferment(parametersOf(check), temperatureAt, 600)
    runs.set(key, run)
    return run
  }
  const result = (check: Check): number => {
    const parameters = parametersOf(check)
    if (check.quantity === 'theta') {
      return cardinalFactor(Number(/([\d.]+) C$/.exec(check.conditions)![1]), parameters.temperatures)
    }
    const run = runOf(check)
    const extract = (moment: Moment) => moment.y[2]!
    const left = /^t\d+: time when F\/F0 = ([\d.]+)/.exec(check.quantity)
    if (left) {
      const level = Number(left[1]) * parameters.fermentable_g_per_L
      const i = run.findIndex(moment => extract(moment) < level)
      const before = run[i - 1]!
      const after = run[i]!
      return after.time_h - (level - extract(after)) / (extract(before) - extract(after)) / 12
    }
    const moment = run[Math.round(timeOf(check) * 12)]!
    const eaten = parameters.fermentable_g_per_L - extract(moment)
    const values: Readonly<Record<string, number>> = {
      L: moment.y[0]!,
      A: moment.y[1]!,
      F: extract(moment),
      E: eaten / EXTRACT_PER_ETHANOL,
      P: moment.y[3]!,
      D: moment.y[4]!,
      Q: eaten * parameters.heat_kJ_per_g,
    }
    return values[check.quantity] ?? Number.NaN
  }
  test.each(checksOf('core-proposal'))('$conditions: $quantity', check => {
    expect(Math.abs(result(check) - check.value)).toBeLessThanOrEqual(allowance(check))
  })
})
