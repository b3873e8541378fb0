import type { Fan, Quantiles, RehearsalResult, Risk } from '../../rehearsal/result.ts'

/**
 * A rehearsal that never was: an ale that falls from 1.050 to 1.012 and is chilled on the thirteenth day. The curves are
 * drawn by hand, so that a report can be tested without a simulation; nothing in them is meant as physics.
 */
export function madeUpRehearsal(changes: Partial<RehearsalResult> = {}): RehearsalResult {
  const time_h = Array.from({ length: 18 * 12 + 1 }, (_, index) => index * 2)
  const gravity = Array.from({ length: 39 }, (_, index) => 1.05 - index / 1000)
  return {
    plan: 'Amber ale with a warm finish',
    vessel: 'Garage fridge',
    beer: 'Amber ale of the first frost',
    seed: 1,
    runs: 200,
    side: 'fermentation',
    limits: { lowest_C: 0, highest_C: 24 },
    originalGravity: 1.05,
    horizon_h: 60 * 24,
    ready: { hours: quantiles(312, 340, 360, 396, 456), share: 0.97, nominal_h: 352 },
    final: {
      gravity: quantiles(1.0095, 1.011, 1.0121, 1.013, 1.0146),
      alcohol_percent_vol: quantiles(4.6, 4.8, 5, 5.1, 5.3),
    },
    stages: [
      stage('Primary', 0, 132, { condition: 0.95, late: 0.05 }, 0.05, 0.05),
      stage('Warm finish', 132, 144, { answer: 0.99, never: 0.01 }, 0.1, 0.99),
      stage('Crash', 276, 76, { condition: 0.98, never: 0.02 }, 0.02, 0.02),
    ],
    risks: [
      risk('chilled-early', 'In 12 % of runs the beer is chilled before it has finished.', 0.12, 0.6),
      risk(
        'waits-for-brewer',
        'In 99 % of runs the plan waits for you, half a day in the median.',
        0.99,
        0.05,
      ),
    ],
    drills: [
      {
        drill: 'float-silent',
        title: 'Float goes silent',
        verdict: 'needed the brewer',
        fault_h: 72,
        moment_h: 86.5,
        reason: 'The gravity was unknown for 12 h; the plan asked, and went on after your answer.',
        highest_C: 21.4,
        lowest_C: 1.9,
        ready_h: 371,
      },
      {
        drill: 'heater-welded',
        title: 'Heater relay welded on',
        verdict: 'failed',
        fault_h: 48,
        moment_h: 61.2,
        reason: 'The beer rose above the highest limit; nothing in the vessel can cut the heater.',
        highest_C: 27.8,
        lowest_C: 16.1,
        ready_h: null,
      },
      {
        drill: 'mash-overshoot',
        title: 'A drill that does not concern this plan',
        verdict: 'not applicable',
        fault_h: null,
        moment_h: null,
        reason: 'The vessel has no such appliance.',
        highest_C: 21.2,
        lowest_C: 2,
        ready_h: null,
      },
    ],
    overTime: {
      time_h,
      beer_C: fan(time_h, beerAt, h => 0.25 + h / 500),
      gravity: fan(time_h, gravityAt, h => 0.004 * Math.exp(-(((h - 60) / 60) ** 2)) + 0.0008),
      target_C: fan(time_h, targetAt, () => 0),
      heater_share: fan(
        time_h,
        h => (h < 276 ? 0.1 + 0.08 * Math.sin((h / 12) * Math.PI) ** 2 : 0),
        () => 0.02,
      ),
      cooler_share: fan(
        time_h,
        h => (h > 276 ? (h < 300 ? 0.9 : 0.3) : 0.15 * Math.exp(-(((h - 50) / 30) ** 2))),
        () => 0.02,
      ),
    },
    path: {
      gravity,
      beer_C: fan(
        gravity,
        sg => (sg > 1.022 ? 18 : 18 + ((1.022 - sg) / 0.01) * 3),
        () => 0.35,
      ),
      target_C: fan(
        gravity,
        sg => (sg > 1.022 ? 18 : 18 + ((1.022 - sg) / 0.01) * 3),
        () => 0,
      ),
    },
    ...changes,
  }
}

export function quantiles(
  p5: number | null,
  p25: number | null,
  p50: number | null,
  p75: number | null,
  p95: number | null,
): Quantiles {
  return { p5, p25, p50, p75, p95 }
}

function targetAt(h: number): number {
  if (h < 132) return 18
  if (h < 204) return 18 + ((h - 132) / 72) * 3
  return h < 276 ? 21 : Math.max(2, 21 - (h - 276))
}

function beerAt(h: number): number {
  return targetAt(Math.max(0, h - 5)) + 0.5 * Math.exp(-(((h - 48) / 20) ** 2))
}

function gravityAt(h: number): number {
  return 1.012 + 0.038 / (1 + Math.exp((h - 60) / 18))
}

function fan(x: readonly number[], middle: (x: number) => number, half: (x: number) => number): Fan {
  const at = (factor: number) => x.map(each => middle(each) + factor * half(each))
  return { p5: at(-2), p25: at(-0.8), p50: at(0), p75: at(0.8), p95: at(2), nominal: at(0.1) }
}

function stage(
  name: string,
  begins_h: number,
  lasts_h: number,
  ended: Partial<RehearsalResult['stages'][number]['ended']>,
  late: number,
  asked: number,
): RehearsalResult['stages'][number] {
  const around = (h: number) => quantiles(h * 0.87, h * 0.95, h, h * 1.08, h * 1.25)
  return {
    stage: name,
    begins_h: around(begins_h),
    lasts_h: around(lasts_h),
    entered: 1,
    ended: { condition: 0, branch: 0, late: 0, fallback: 0, answer: 0, never: 0, ...ended },
    late,
    asked,
  }
}

function risk(code: Risk['code'], message: string, share: number, harm: number): Risk {
  return {
    code,
    message,
    share,
    harm,
    extent: quantiles(2, 6, 12, 20, 40),
    unit: 'h',
    stage: 'Warm finish',
    weaklyFounded: false,
    worst: [37, 112],
  }
}
