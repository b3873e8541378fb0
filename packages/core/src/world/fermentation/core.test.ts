import { describe, expect, test } from 'vitest'
import { alcoholByWeight_percent } from '../../formulas/alcohol.ts'
import { platoFromSg, sgFromPlato } from '../../formulas/gravity.ts'
import { CO2_PER_EXTRACT, ETHANOL_PER_EXTRACT, YEAST_PER_EXTRACT } from './balling.ts'
import {
  activeYeast,
  activity,
  apparentGravity,
  copyFermentation,
  createFermentation,
  diacetyl_mg_per_L,
  ethanol_g_per_L,
  type FermentationParameters,
  type FermentationState,
  fermentableExtract_g_per_L,
  heat_W_per_L,
  realExtract_P,
  stepFermentation,
  totalDiacetyl_mg_per_L,
} from './core.ts'
import { fermentationParameters, NOMINAL_FERMENTATION } from './parameters.ts'

const place = { line: 1, column: 1, offset: 0, length: 1 }

function parametersOf(
  original_SG: number,
  final_SG: number,
  more: {
    readonly draw?: Partial<typeof NOMINAL_FERMENTATION>
    readonly finalSd?: number
    readonly yeastClass?: 'ale' | 'lager'
    readonly pitch?: number
    readonly vigour?: number
    readonly vigourSd?: number
  } = {},
): FermentationParameters {
  const yeastClass = more.yeastClass ?? 'ale'
  return fermentationParameters(
    {
      name: 'test',
      originalGravity: original_SG,
      finalGravity: { value: final_SG, sd: more.finalSd ?? 0 },
      startsAt_C: { value: 20, sd: 0 },
      start: { text: '2026-12-04T18:00', local_s: 0 },
      yeast: {
        name: 'test',
        class: yeastClass,
        comfort_C: yeastClass === 'ale' ? { lowest: 18, highest: 22 } : { lowest: 9, highest: 13 },
        attenuation: { lowest: 0.7, highest: 0.8 },
        pitch: more.pitch ?? (yeastClass === 'ale' ? 0.75 : 1.5),
        vigour: { value: more.vigour ?? 1, sd: more.vigourSd ?? 0 },
        place,
      },
      brewer: { answersWithin_s: 3600, asleepFrom_s: 0, asleepTo_s: 0, awayAtWeekends: false },
      place,
    },
    { ...NOMINAL_FERMENTATION, ...more.draw },
  )
}

function run(
  parameters: FermentationParameters,
  hours: number,
  temperatureAt: (time_h: number) => number,
  each?: (state: FermentationState, time_h: number) => void,
): FermentationState {
  const state = createFermentation(parameters)
  for (let step = 1; step <= hours * 12; step++) {
    stepFermentation(state, parameters, temperatureAt((step - 0.5) / 12), 300)
    each?.(state, step / 12)
  }
  return state
}

const ALE = parametersOf(1.048, 1.012)

describe('balances', () => {
  test('alcohol: Balling from the gravities of the beer, less the 7 % that the core leaves out', () => {
    const original_P = platoFromSg(1.048)
    const ratios: number[] = []
    run(
      ALE,
      120,
      () => 20,
      state => {
        // Alcohol by mass, turned into g/L with the density of the beer (998.2 g/L times its gravity).
        const byWeight = alcoholByWeight_percent(original_P, realExtract_P(state, ALE))
        ratios.push(ethanol_g_per_L(state, ALE) / (byWeight * 9.982 * apparentGravity(state, ALE)))
      },
    )
    // The published core counts extract per litre of wort and forgets that the gas makes the beer lighter.
    expect(Math.min(...ratios)).toBeGreaterThan(0.93)
    expect(Math.max(...ratios)).toBeLessThan(1)
  })

  test('mass and carbon: what leaves the extract is found again as ethanol, gas and yeast', () => {
    expect(ETHANOL_PER_EXTRACT + CO2_PER_EXTRACT + YEAST_PER_EXTRACT).toBeCloseTo(1, 12)
    // Mass shares of carbon: extract as maltose 0.4211, ethanol 0.5214, carbon dioxide 0.2729, dry yeast about 0.47.
    const carbonOut = 0.5214 * ETHANOL_PER_EXTRACT + 0.2729 * CO2_PER_EXTRACT + 0.47 * YEAST_PER_EXTRACT
    // Balling counts 96 %; glycerol, acids and higher alcohols take the rest.
    expect(carbonOut / 0.4211).toBeGreaterThan(0.95)
    expect(carbonOut / 0.4211).toBeLessThan(1)
  })

  test('heat: the sum of the powers is 0.587 kJ per g of extract', () => {
    let heat_kJ = 0
    const end = run(
      ALE,
      120,
      () => 20,
      state => {
        heat_kJ += heat_W_per_L(state, ALE) * 0.3
      },
    )
    const eaten = ALE.fermentable_g_per_L - fermentableExtract_g_per_L(end)
    expect(heat_kJ).toBeCloseTo(0.587 * eaten, 9)
    // Reference: 12 °P ale, 78 g/L, 45.8 kJ/L; peak 0.25 W/L at 20 °C.
    const twelve = parametersOf(sgFromPlato(12), sgFromPlato(12 * (1 - 0.62 / 0.8192)))
    let most = 0
    const all = run(
      twelve,
      400,
      () => 20,
      state => {
        most = Math.max(most, heat_W_per_L(state, twelve))
      },
    )
    expect(0.587 * (twelve.fermentable_g_per_L - fermentableExtract_g_per_L(all))).toBeCloseTo(45.8, 1)
    expect(most).toBeCloseTo(0.25, 2)
  })
})

describe('the course of a beer', () => {
  test('an ale of 12 °P at 20 °C is done in under four days (common practice, no source)', () => {
    const end = run(ALE, 96, () => 20)
    expect(apparentGravity(end, ALE)).toBeLessThan(1.013)
    expect(apparentGravity(end, ALE)).toBeGreaterThan(1.0119)
  })

  test('a lager at 11 °C takes more than a week and less than three (common practice, no source)', () => {
    const lager = parametersOf(1.048, 1.011, { yeastClass: 'lager' })
    expect(
      apparentGravity(
        run(lager, 7 * 24, () => 11),
        lager,
      ),
    ).toBeGreaterThan(1.013)
    expect(
      apparentGravity(
        run(lager, 21 * 24, () => 11),
        lager,
      ),
    ).toBeLessThan(1.0115)
  })

  test('the true final gravity is the expected one plus its drawn error', () => {
    const drawn = parametersOf(1.048, 1.012, { finalSd: 0.0015, draw: { final: 2 } })
    expect(
      apparentGravity(
        run(drawn, 600, () => 21),
        drawn,
      ),
    ).toBeCloseTo(1.015, 5)
  })

  test('chilled too early it stalls above its final gravity, and goes on when warmed', () => {
    const chilled = (time_h: number) => Math.max(3, 20 - Math.max(0, time_h - 40))
    const stalled = run(ALE, 400, chilled)
    const later = run(ALE, 500, chilled)
    expect(apparentGravity(stalled, ALE)).toBeGreaterThan(1.018)
    expect(apparentGravity(stalled, ALE) - apparentGravity(later, ALE)).toBeLessThan(0.0005)
    const warmed = run(ALE, 700, time_h => (time_h < 400 ? chilled(time_h) : 20))
    expect(apparentGravity(warmed, ALE)).toBeLessThan(1.0125)
  })

  test('strong wort is slower than a time scaled with its extract (records: see docs)', () => {
    const hoursTo = (parameters: FermentationParameters) => {
      let reached = Number.NaN
      run(
        parameters,
        600,
        () => 19,
        (state, time_h) => {
          const left = fermentableExtract_g_per_L(state) / parameters.fermentable_g_per_L
          if (Number.isNaN(reached) && left < 0.1) reached = time_h
        },
      )
      return reached
    }
    const strong = parametersOf(1.1, 1.025)
    const asPublished = { ...strong, osmoticSlowing_L_per_g: 0, ethanolSlowing_L_per_g: 0 }
    expect(hoursTo(strong)).toBeGreaterThan(1.25 * hoursTo(asPublished))
    // Common practice, no source: a well-pitched ale of 1.100 still ferments in less than ten days.
    expect(hoursTo(strong)).toBeLessThan(240)
    const ordinary = parametersOf(1.055, 1.013)
    const ordinaryPublished = { ...ordinary, osmoticSlowing_L_per_g: 0, ethanolSlowing_L_per_g: 0 }
    expect(hoursTo(ordinary)).toBe(hoursTo(ordinaryPublished))
  })

  test('activity rises from nothing to about one and falls again', () => {
    let most = 0
    const end = run(
      ALE,
      120,
      () => 20,
      state => {
        most = Math.max(most, activity(state, ALE))
      },
    )
    expect(most).toBeGreaterThan(0.85)
    expect(most).toBeLessThanOrEqual(1)
    expect(activity(end, ALE)).toBeLessThan(0.02)
  })

  test('the precursor outlasts the main fermentation when cold, and diacetyl stays below the sum', () => {
    const lager = parametersOf(1.048, 1.011, { yeastClass: 'lager' })
    const young = run(lager, 10 * 24, () => 10)
    const rested = run(lager, 13 * 24, time_h => (time_h < 240 ? 10 : 17))
    expect(totalDiacetyl_mg_per_L(young)).toBeGreaterThan(0.15)
    expect(totalDiacetyl_mg_per_L(rested)).toBeLessThan(0.5 * totalDiacetyl_mg_per_L(young))
    expect(diacetyl_mg_per_L(young)).toBeLessThan(totalDiacetyl_mg_per_L(young))
  })
})

describe('drills', () => {
  test('a stuck fermentation stops at the share of extract that it is told', () => {
    const state = createFermentation(ALE)
    state.stuckAt = 0.3
    for (let step = 0; step < 40 * 24 * 12; step++) stepFermentation(state, ALE, 20, 300)
    const share = fermentableExtract_g_per_L(state) / ALE.fermentable_g_per_L
    expect(share).toBeGreaterThanOrEqual(0.3)
    expect(share).toBeLessThan(0.301)
    expect(heat_W_per_L(state, ALE)).toBeLessThan(1e-4)
  })

  test('stuck while already below that share: it stops where it is', () => {
    const state = run(ALE, 60, () => 20)
    const before = fermentableExtract_g_per_L(state)
    state.stuckAt = 0.5
    for (let step = 0; step < 288; step++) stepFermentation(state, ALE, 20, 300)
    expect(fermentableExtract_g_per_L(state)).toBe(before)
  })

  test('yeast that dies in the middle stops at once, and half as active takes about twice as long', () => {
    const state = run(ALE, 40, () => 20)
    const before = fermentableExtract_g_per_L(state)
    state.activityFactor = 0
    for (let step = 0; step < 288; step++) stepFermentation(state, ALE, 20, 300)
    expect(fermentableExtract_g_per_L(state)).toBe(before)

    const half = createFermentation(ALE)
    half.activityFactor = 0.5
    let hours = 0
    while (fermentableExtract_g_per_L(half) > 0.1 * ALE.fermentable_g_per_L) {
      stepFermentation(half, ALE, 20, 300)
      hours += 1 / 12
    }
    let whole = 0
    const normal = createFermentation(ALE)
    while (fermentableExtract_g_per_L(normal) > 0.1 * ALE.fermentable_g_per_L) {
      stepFermentation(normal, ALE, 20, 300)
      whole += 1 / 12
    }
    expect(hours / whole).toBeGreaterThan(1.7)
    expect(hours / whole).toBeLessThan(2.1)
  })
})

describe('numbers', () => {
  test('steps of an hour agree with steps of five minutes to 1e-6', () => {
    const fine = run(ALE, 48, () => 20)
    const coarse = createFermentation(ALE)
    for (let hour = 0; hour < 48; hour++) stepFermentation(coarse, ALE, 20, 3600)
    coarse.y.forEach((value, i) => {
      expect(Math.abs(value - fine.y[i]!)).toBeLessThan(1e-6 * Math.max(1, Math.abs(value)))
    })
  })

  test('nothing grows negative or beyond the crop, from 1.030 to 1.130 and -2 to 45 °C', () => {
    for (const original of [1.03, 1.05, 1.09, 1.13]) {
      for (const temperature_C of [-2, 2, 12, 20, 30, 45]) {
        const parameters = parametersOf(original, 1 + (original - 1) * 0.2)
        let least = 0
        let crop = 0
        const end = run(
          parameters,
          500,
          () => temperature_C,
          state => {
            least = Math.min(least, ...state.y)
            crop = Math.max(crop, activeYeast(state))
          },
        )
        expect(least).toBe(0)
        expect(crop).toBeLessThanOrEqual(1)
        expect(Number.isFinite(apparentGravity(end, parameters))).toBe(true)
      }
    }
  })

  test('a copy goes its own way and arrives at the same place', () => {
    const state = run(ALE, 30, () => 20)
    const copy = copyFermentation(state)
    stepFermentation(copy, ALE, 18, 300)
    expect(copy.y[2]).not.toBe(state.y[2])
    stepFermentation(state, ALE, 18, 300)
    expect(copy.y).toEqual(state.y)
  })

  test('water does not ferment', () => {
    const water = parametersOf(1, 1)
    const end = run(water, 24, () => 20)
    expect(apparentGravity(end, water)).toBe(1)
    expect(heat_W_per_L(end, water)).toBe(0)
  })
})

describe('draws', () => {
  test('each number moves what its name says, and only that', () => {
    const nominal = parametersOf(1.048, 1.012)
    const changed = (draw: Partial<typeof NOMINAL_FERMENTATION>) => {
      const drawn = parametersOf(1.048, 1.012, { draw, finalSd: 0.002 })
      return Object.keys(nominal)
        .filter(key => {
          const name = key as keyof FermentationParameters
          return (
            name !== 'temperatures' &&
            Math.abs((drawn[name] as number) / (nominal[name] as number) - 1) > 1e-12
          )
        })
        .sort()
    }
    expect(changed({})).toEqual([])
    expect(changed({ k: 1 })).toEqual(['uptake_g_per_L_h'])
    expect(changed({ mu: 1 })).toEqual(['growth_per_h'])
    expect(changed({ lagFactor: 1 })).toEqual(['lagFactor'])
    // Without an uncertainty of its vigour a yeast's pace is known.
    expect(changed({ pace: 1 })).toEqual([])
    expect(changed({ x0: 1 })).toEqual(['activeAtPitch', 'latentAtPitch'])
    expect(changed({ final: 1 })).toEqual(['fermentable_g_per_L'])
    expect(changed({ yP: 1 })).toEqual(['precursorYield_mg_per_L'])
    expect(changed({ kP: 1 })).toEqual(['precursorDecay_per_h'])
    expect(changed({ heat: 1 })).toEqual(['heat_kJ_per_g'])
  })

  test('twice the pitch starts sooner; vigour scales the speed and brings its own uncertainty', () => {
    const usual = run(ALE, 24, () => 20)
    const heavy = parametersOf(1.048, 1.012, { pitch: 1.5 })
    expect(fermentableExtract_g_per_L(run(heavy, 24, () => 20))).toBeLessThan(
      fermentableExtract_g_per_L(usual) - 5,
    )
    const fast = parametersOf(1.048, 1.012, { vigour: 1.5 })
    expect(fast.uptake_g_per_L_h / ALE.uptake_g_per_L_h).toBeCloseTo(1.5, 12)
    // Lognormal: exp(sqrt(ln(1 + 0.05²))) and exp(sqrt(ln(1 + 0.45²))).
    const known = parametersOf(1.048, 1.012, { vigourSd: 0.05, draw: { pace: 1 } })
    const unknown = parametersOf(1.048, 1.012, { vigourSd: 0.45, draw: { pace: 1 } })
    expect(known.uptake_g_per_L_h / ALE.uptake_g_per_L_h).toBeCloseTo(1.05, 2)
    expect(unknown.uptake_g_per_L_h / ALE.uptake_g_per_L_h).toBeCloseTo(1.54, 2)
    expect(unknown.growth_per_h / ALE.growth_per_h).toBeCloseTo(1.54, 2)
  })
})
