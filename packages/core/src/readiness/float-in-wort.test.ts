import { describe, expect, it } from 'vitest'
import { FALSE, TRUE, UNKNOWN } from '../engine/kleene.ts'
import { channel, instrument, smallBeer, smallVessel } from '../engine/testing/small-house.ts'
import { USUAL_UNITS } from '../units/display.ts'
import { floatBounds } from './float-bounds.ts'
import { type FloatReadings, judgeFloat } from './float-in-wort.ts'
import { sayFloat, sayFloatSigns } from './say-float.ts'

const QUARTER_S = 900

function vesselWith(floatEvery_s = QUARTER_S) {
  const thermometer = { noise: 0.03, resolution: 0.0625, bias: { value: 0, sd: 0.17 } }
  return smallVessel({
    instruments: [
      instrument('Probe', 5, [channel({ quantity: 'beer', ...thermometer })]),
      instrument('Float', floatEvery_s, [
        channel({ quantity: 'gravity', noise: 0.0005, resolution: 0.0001, bias: { value: 0, sd: 0.0015 } }),
        channel({ quantity: 'beer', ...thermometer }),
      ]),
    ],
  })
}

const bounds = floatBounds(vesselWith(), smallBeer())!

/** Gravities every quarter of an hour. */
function every(values: readonly number[], every_s = QUARTER_S): FloatReadings['gravities'] {
  return values.map((value, n) => [n * every_s, value] as const)
}

const inWort: FloatReadings = {
  float_C: 18.4,
  beer_C: 18,
  gravities: every([1.0508, 1.0503, 1.0507, 1.0511, 1.0506]),
}

describe('what a float has to show', () => {
  it('follows from what the instruments say of themselves', () => {
    // 0.5 °C and twice the root of the summed squares of 0.17, 0.03 and 0.0625/√12 °C, of two instruments.
    expect(bounds.apart_K).toBeCloseTo(0.5 + 2 * Math.sqrt(2 * (0.17 ** 2 + 0.03 ** 2 + 0.0625 ** 2 / 12)), 9)
    // 2 points and twice the root of 2, 1.5 and 0.5 points squared (and the tenth of a point that is its step).
    expect(bounds.near_SG).toBeCloseTo(
      0.002 + 2 * Math.hypot(0.002, 0.0015, 0.0005, 0.0001 / Math.sqrt(12)),
      9,
    )
    expect(bounds).toMatchObject({ float: 'Float', probe: 'Probe', steadyFor_s: 3600, leastReadings: 4 })
  })

  it('takes longer with a float that reports rarely', () => {
    expect(floatBounds(vesselWith(1800), smallBeer())!.steadyFor_s).toBe(5400)
  })

  it('is wider when the brewer is less sure', () => {
    const unsure = floatBounds(vesselWith(), smallBeer({ originalGravitySd_SG: 0.005 }))!
    expect(unsure.near_SG).toBeGreaterThan(bounds.near_SG + 0.004)
  })

  it('is nothing without a float: a hydrometer is read by hand', () => {
    const hydrometer = {
      ...instrument('Hydrometer', 86_400, [channel({ quantity: 'gravity' })]),
      byHand: true,
    }
    expect(floatBounds(smallVessel({ instruments: [hydrometer] }), smallBeer())).toBeNull()
  })
})

describe('a float', () => {
  it('is in the wort when all three signs say so, and its mean is told', () => {
    const judgement = judgeFloat(inWort, bounds)
    expect(judgement).toMatchObject({
      temperature: TRUE,
      gravity: TRUE,
      steady: TRUE,
      inWort: TRUE,
      readings: 5,
    })
    expect(judgement.mean_SG).toBeCloseTo(1.0507, 9)
    expect(sayFloat(judgement, inWort, bounds, USUAL_UNITS)).toBe(
      'Float is in the wort: as warm as Probe, and steady at 1.051.',
    )
  })

  const cases: readonly [string, Partial<FloatReadings>, object, RegExp][] = [
    [
      'on the warm bench',
      { float_C: 23 },
      { temperature: FALSE, inWort: FALSE },
      /differ by 1\.\d °C at most/,
    ],
    [
      'in a jug of water',
      { gravities: every([1, 1, 1, 1, 1]) },
      { gravity: FALSE, inWort: FALSE },
      /would read from/,
    ],
    [
      'that is only now put in',
      { gravities: every([1.02, 1.051, 1.05, 1.05, 1.05]) },
      { gravity: TRUE, steady: FALSE, inWort: FALSE },
      /has not settled/,
    ],
    [
      'in a beer that ferments already',
      { gravities: every([1.054, 1.053, 1.052, 1.051, 1.05]) },
      { steady: FALSE, inWort: FALSE },
      /has not settled/,
    ],
    [
      'of which too little was heard',
      { gravities: every([1.05, 1.05, 1.05]) },
      { steady: UNKNOWN, inWort: UNKNOWN },
      /At least 4 readings of Float over 1 hour are needed; so far there are 3/,
    ],
    [
      'that was silent in between: two ends are no steadiness',
      {
        gravities: [
          [0, 1.05],
          [9000, 1.05],
          [9900, 1.05],
        ],
      },
      { steady: UNKNOWN, inWort: UNKNOWN },
      /needed/,
    ],
    [
      'without a temperature',
      { float_C: null },
      { temperature: UNKNOWN, inWort: UNKNOWN },
      /no temperature lately/,
    ],
    ['that says nothing', { gravities: [] }, { gravity: UNKNOWN, inWort: UNKNOWN }, /no gravity lately/],
  ]
  it.each(cases)('%s is not shown to be in the wort', (_, part, verdict, sentence) => {
    const readings = { ...inWort, ...part }
    const judgement = judgeFloat(readings, bounds)
    expect(judgement).toMatchObject(verdict)
    expect(sayFloat(judgement, readings, bounds, USUAL_UNITS)).toMatch(sentence)
  })

  it('reports a little early or late, and is counted all the same', () => {
    const late = [0, 1801, 3600, 5402].map(at_s => [at_s, 1.05] as const)
    const rare = floatBounds(vesselWith(1800), smallBeer())!
    expect(judgeFloat({ ...inWort, gravities: late }, rare).inWort).toBe(TRUE)
  })

  it('without a thermometer of its own can never be shown to be in the wort', () => {
    const bare = smallVessel({
      instruments: [
        instrument('Probe', 5, [channel({ quantity: 'beer' })]),
        instrument('Float', QUARTER_S, [channel({ quantity: 'gravity', noise: 0.0005 })]),
      ],
    })
    const own = floatBounds(bare, smallBeer())!
    const readings = { ...inWort, float_C: null }
    const [warmth] = sayFloatSigns(judgeFloat(readings, own), readings, own, USUAL_UNITS)
    expect(warmth).toMatchObject({ truth: UNKNOWN, sentence: 'Float has no thermometer of its own.' })
    expect(sayFloat(judgeFloat(readings, own), readings, own, USUAL_UNITS)).toBe(
      'Whether Float is in the wort can not be told. Float has no thermometer of its own.',
    )
  })
})
