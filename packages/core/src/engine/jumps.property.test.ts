import { describe, expect, it } from 'vitest'
import type { Plan, Stage } from '../plan/plan.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { compile } from './compile.ts'
import type { EngineEvent } from './events.ts'
import {
  channel,
  gravityAtMost,
  instrument,
  ON_OFF,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from './testing/small-house.ts'
import { type Happening, tellByJumps, tellEverySecond } from './testing/twice.ts'

/*
 * Each story is told twice: every second, and only when the answer no longer stands. What was decided, when, and what the
 * engine remembers must be the same; else an answer stood too long. Short stories, each steered to what it is about; the
 * long random ones are in rehearsal/jump.test.ts.
 */

const HOUR_S = 3600
const PROBE = 0
const SPARE = 1
const AIR = 2
const FLOAT = 3
const FLOAT_BEER = 4

const cellar = (part: Partial<Vessel> = {}, interlocks: Partial<Vessel['interlocks']> = {}): Vessel =>
  smallVessel({
    instruments: [
      instrument('Probe', 10, [channel({ quantity: 'beer' })]),
      instrument('Spare', 30, [channel({ quantity: 'beer' })]),
      instrument('Air probe', 20, [channel({ quantity: 'air', step: 15 })]),
      instrument('Float', 600, [channel({ quantity: 'gravity' }), channel({ quantity: 'beer' })]),
    ],
    interlocks: {
      ...smallVessel().interlocks,
      changeover_s: 200,
      heaterResponse_s: 1200,
      coolerResponse_s: 1500,
      lease_s: 301,
      ...interlocks,
    },
    ...part,
  })

/** Temperatures and gravities as functions of the time; null: no reading. */
interface Course {
  readonly probe_C: (at_s: number) => number | null
  readonly spare_C?: (at_s: number) => number | null
  readonly air_C?: (at_s: number) => number | null
  readonly gravity?: (at_s: number) => number | null
  /** The float's thermometer; as the probe when left out. */
  readonly float_C?: (at_s: number) => number | null
  readonly edits?: Readonly<Record<number, Pick<Happening, 'edits' | 'answer'>>>
}

function happenings(length_s: number, course: Course): readonly Happening[] {
  const story: Happening[] = []
  for (let at_s = 0; at_s < length_s; at_s++) {
    const readings: Record<number, number> = {}
    const put = (number: number, every_s: number, value?: (at_s: number) => number | null) => {
      const now = at_s % every_s === 0 ? (value?.(at_s) ?? null) : null
      if (now !== null) readings[number] = now
    }
    put(PROBE, 10, course.probe_C)
    put(SPARE, 30, course.spare_C)
    put(AIR, 20, course.air_C)
    put(FLOAT, 600, course.gravity)
    put(FLOAT_BEER, 600, course.float_C ?? (course.gravity && course.probe_C))
    const acts = at_s === 0 ? { edits: [{ kind: 'start' } as const] } : course.edits?.[at_s]
    if (acts || Object.keys(readings).length > 0) story.push({ at_s, readings, ...acts })
  }
  return story
}

/** Noise of a thermometer, the same at each run. */
const noise = (at_s: number) => 0.04 * Math.sin(at_s * 12.9898)
const wave = (middle: number, swing: number, period_s: number) => (at_s: number) =>
  middle + swing * Math.sin((2 * Math.PI * at_s) / period_s) + noise(at_s)

function same(
  name: string,
  hours: number,
  course: Course,
  stages: readonly Stage[],
  kinds: readonly EngineEvent['kind'][],
  plan: Partial<Plan> = {},
  vessel: Vessel = cellar(),
): void {
  it(name, () => {
    const program = compile(smallPlan(stages, plan), vessel, smallBeer())
    const length_s = hours * HOUR_S
    const story = happenings(length_s, course)
    const bySeconds = tellEverySecond(program, story, length_s)
    const byJumps = tellByJumps(program, story, length_s)
    expect(byJumps.events).toEqual(bySeconds.events)
    expect(byJumps.commands).toEqual(bySeconds.commands)
    expect(byJumps.state).toEqual(bySeconds.state)
    const seen = new Set(bySeconds.events.map(({ kind }) => kind))
    expect(kinds.filter(kind => !seen.has(kind))).toEqual([])
    expect(byJumps.calls).toBeLessThan(bySeconds.calls / 4)
  })
}

const limits = (ifBroken: 'alarm' | 'hold' | 'switch off') =>
  ({ lowest_C: 16, highest_C: 20, ifBroken, place: PLACE }) as const

describe('jumping decides as every second does', () => {
  for (const ifBroken of ['alarm', 'hold', 'switch off'] as const) {
    same(
      `when the beer swings beyond both limits (${ifBroken})`,
      5,
      {
        probe_C: wave(18, 2.4, 1.6 * HOUR_S),
        edits: { 6000: { answer: 'not yet' }, 9000: { answer: 'yes' }, 14000: { answer: 'yes' } },
      },
      [stage({ name: 'Primary' })],
      ['limit broken', 'limit kept', 'switched', 'withheld'],
      { limits: limits(ifBroken) },
    )
  }

  same(
    'when instruments fail, contradict each other and come back',
    5,
    {
      probe_C: at_s => (at_s > 3000 && at_s < 4500 ? null : at_s === 9000 ? 40 : 18 + noise(at_s)),
      spare_C: at_s => (at_s < 9000 ? 18.3 : wave(19.5, 1.5, HOUR_S)(at_s)) + noise(at_s + 5),
      gravity: at_s => (at_s > 7000 && at_s < 12_000 ? null : 1.048 - at_s * 2e-7),
    },
    [stage({ name: 'Primary', until: gravityAtMost(1.02) })],
    ['instrument lost', 'instrument back', 'disagree', 'agree'],
    {},
    cellar({}, { disagree_K: 1 }),
  )

  for (const way of [1, -1]) {
    same(
      `when a slow instrument has to wait for one that moves towards it (${way > 0 ? 'up' : 'down'})`,
      3,
      {
        probe_C: at_s => 18 + way * Math.min(3, Math.max(0, (at_s - 7000) / 1000)),
        float_C: at_s => (at_s < 1000 ? 18 : at_s < 4200 ? null : 18 + way * 2.9),
      },
      // Nothing is controlled: an edge of a hysteresis would have the engine called before the two agree.
      [stage({ name: 'Primary', course: { kind: 'leave alone' } })],
      ['instrument lost', 'instrument back'],
      {},
      cellar({}, { disagree_K: 1 }),
    )
  }

  same(
    'when neither heater nor cooler does anything',
    4,
    {
      probe_C: at_s => (at_s < 6000 ? 16.5 : at_s < 9000 ? 21.5 - at_s / 1e5 : 17) + noise(at_s) / 4,
      edits: { 5000: { answer: 'yes' }, 5900: { answer: 'yes' }, 11000: { answer: 'yes' } },
    },
    [stage({ name: 'Primary' })],
    ['no response', 'asked', 'answered'],
  )

  same(
    'when a heater has reached what it can, and then the probe falls out',
    3,
    { probe_C: at_s => (at_s < 1000 ? 15 + at_s / 2000 : at_s < 6000 ? 15.5 : 14.2) + noise(at_s) / 10 },
    [stage({ name: 'Primary' })],
    ['no response'],
  )

  for (const method of ['proportional', 'cascade'] as const) {
    same(
      `with a controller that is sampled (${method})`,
      4,
      {
        probe_C: wave(18, 0.6, 1.3 * HOUR_S),
        air_C: at_s => (at_s > 9000 && at_s < 9600 ? null : wave(17, 6, HOUR_S / 2)(at_s)),
        edits: { 8000: { edits: [{ kind: 'restarted' }] } },
      },
      [
        stage({ name: 'Primary', control: { ...ON_OFF, method }, until: stageLasted(2 * HOUR_S) }),
        stage({
          name: 'Warm',
          course: { kind: 'hold', target_C: 18.5 },
          control: { method, gain_per_K: 0.8 },
        }),
      ],
      ['switched', 'stage'],
      {},
      cellar({ heater: { ...smallVessel().heater!, toWall_W_per_K: 0, toAir_W_per_K: 3 } }),
    )
  }

  const warm = (value: number, lasting_s: number) =>
    when(
      { kind: 'compare', quantity: 'beer', relation: 'at least', against: { kind: 'value', value } },
      lasting_s,
    )
  const to = (name: string) => ({ kind: 'stage', name, place: PLACE }) as const

  same(
    'through stages of every kind, with tasks, branches and lateness',
    6,
    {
      probe_C: wave(18, 1.2, 1.1 * HOUR_S),
      edits: {
        3000: { answer: 'not yet' },
        5000: { answer: 'yes' },
        9000: { answer: 'yes' },
        12000: { edits: [{ kind: 'hold' }] },
        13000: { edits: [{ kind: 'resume' }] },
        15000: { answer: 'yes' },
      },
    },
    [
      stage({
        name: 'Rise',
        course: { kind: 'free rise', cap_C: 18.4, lowest_C: 17.5 },
        until: when({ kind: 'all', of: [stageLasted(1500), warm(18.2, 300)] }),
        tasks: [{ name: 'Taste', wait: true, when: stageLasted(900), place: PLACE }],
      }),
      stage({
        name: 'Ramp',
        course: { kind: 'ramp', to_C: 17, over_s: 1200 },
        until: when({
          kind: 'all',
          of: [when({ kind: 'near target', within_K: 0.3 }, 120), stageLasted(300)],
        }),
        atMost_s: 4000,
        ifLate: { kind: 'go on' },
      }),
      stage({
        name: 'Rest',
        course: { kind: 'hold', target_C: 18.5 },
        until: when({ kind: 'elapsed', since: 'target', atLeast_s: 700 }),
        askFirst: true,
        atMost_s: 900,
        ifLate: { kind: 'ask' },
      }),
      stage({
        name: 'Alone',
        course: { kind: 'leave alone' },
        branches: [{ when: warm(18.9, 0), destination: to('Clock'), askFirst: false, place: PLACE }],
        until: when({ kind: 'not', of: warm(16.9, 0) }),
      }),
      stage({
        name: 'Clock',
        until: when({ kind: 'time of day', from_s: 13.8 * HOUR_S, to_s: 14 * HOUR_S }),
        atMost_s: 3000,
        ifLate: { kind: 'hold' },
      }),
    ],
    ['stage', 'task', 'asked', 'answered', 'target reached', 'batch'],
  )

  same(
    'while a condition is unknown, and when it is known again',
    6,
    {
      probe_C: wave(18, 0.5, HOUR_S),
      gravity: at_s => (at_s > 4000 && at_s < 13_000 ? null : 1.04 - at_s * 5e-7),
      edits: { 12000: { answer: 'not yet' } },
    },
    [
      stage({
        name: 'Primary',
        until: when({ kind: 'all', of: [gravityAtMost(1.031, 600), stageLasted(100)] }),
        ifUnknown: { wait_s: 1800, then: { kind: 'ask' }, place: PLACE },
      }),
      stage({
        name: 'Steady',
        until: when({ kind: 'steady', quantity: 'gravity', within: 0.003, for_s: 1800 }),
      }),
    ],
    ['unknown too long', 'asked', 'answered'],
  )
})
