import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Condition, Plan, Stage } from './plan.ts'
import { readPlan } from './read-plan.ts'

function mustRead(text: string): Plan {
  const { plan, findings } = readPlan(text, 'test.yaml')
  expect(findings).toEqual([])
  return plan!
}

function readStage(keys: string): Stage {
  return mustRead(`plan: Test
stages:
  - stage: One
    ${keys}
  - stage: Two
    hold: 18 °C
    tasks: [ Add dry hops ]
`).stages[0]!
}

function readCondition(text: string): Condition {
  return readStage(`leave alone: true\n    until: ${text}`).until!
}

const HOUR = 3600
const DAY = 86400

test.each(['amber-ale.plan.yaml', 'lager.plan.yaml', 'step-mash.plan.yaml'])(
  'the example %s is read',
  name => {
    const text = readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8')
    const { plan, findings } = readPlan(text, name)
    expect(findings).toEqual([])
    expect(plan?.stages.length).toBeGreaterThanOrEqual(3)
  },
)

describe('the head of a plan', () => {
  test('what is left out has its usual value', () => {
    const plan = mustRead('plan: Short\nstages: [ { stage: One, hold: 18 °C } ]')
    expect(plan).toMatchObject({
      name: 'Short',
      side: 'fermentation',
      limits: { ifBroken: 'alarm' },
      control: {},
      stages: [
        {
          name: 'One',
          next: { kind: 'following' },
          askFirst: false,
          ifLate: { kind: 'ask' },
          branches: [],
          tasks: [],
          control: {},
        },
      ],
    })
    expect(plan.stages[0]).not.toHaveProperty('until')
    expect(plan.stages[0]).not.toHaveProperty('atMost_s')
  })

  test('everything can be said', () => {
    const plan = mustRead(`plan: Whole
side: hot side
limits: { lowest: 32 °F, highest: 24 °C, if broken: switch off }
control:
  method: cascade
  heat: { start: 0.4 °C, stop: -0.1 °C }
  cool: { start: 0.9 °F, stop: 0.1 K }
  gain: 20 %/°C
  integral: 8 min
  derivative: 20 s
  window: 60 s
  air: { gain: 3, lowest: 0 °C, highest: 30 °C }
  reached within: 0.4 °C
stages: [ { stage: One, hold: 18 °C } ]
`)
    expect(plan.side).toBe('hot side')
    expect(plan.limits).toMatchObject({ lowest_C: 0, highest_C: 24, ifBroken: 'switch off' })
    expect(plan.limits.place).toMatchObject({ line: 3, column: 9, length: 56 })
    expect(plan.control).toEqual({
      method: 'cascade',
      heatStart_K: 0.4,
      heatStop_K: -0.1,
      coolStart_K: 0.5,
      coolStop_K: 0.1,
      gain_per_K: 0.2,
      integral_s: 480,
      derivative_s: 20,
      window_s: 60,
      cascadeGain: 3,
      airLowest_C: 0,
      airHighest_C: 30,
      reached_K: 0.4,
    })
  })
})

describe('a stage', () => {
  test.each([
    ['hold: 68 °F', { kind: 'hold', target_C: 20 }],
    ['rest: 65 °C', { kind: 'hold', target_C: 65 }],
    ['ramp: { to: 21 °C, over: 3 d }', { kind: 'ramp', to_C: 21, over_s: 3 * DAY }],
    [
      'ramp: { from: 20 °C, to: 2 °C, at: 1 °C/h }',
      { kind: 'ramp', from_C: 20, to_C: 2, rate_K_per_s: 1 / HOUR },
    ],
    ['free rise: { to: 24 °C, not below: 18 °C }', { kind: 'free rise', cap_C: 24, lowest_C: 18 }],
    ['free rise: { to: 24 °C }', { kind: 'free rise', cap_C: 24 }],
    ['leave alone: true', { kind: 'leave alone' }],
    ['boil: 70 %', { kind: 'boil', power: 0.7, from_C: 100 }],
    ['boil: true', { kind: 'boil', power: 1, from_C: 100 }],
    ['boil: { power: 60 %, from: 96 °C }', { kind: 'boil', power: 0.6, from_C: 96 }],
  ])('%s', (text, course) => {
    expect(readStage(text).course).toEqual(course)
  })

  test('says where its name, its course and its longest time stand', () => {
    const { place, places } = readStage('hold: 18 °C\n    at most: 10 d\n    control: { window: 10 s }')
    expect(place).toMatchObject({ line: 3, column: 5, length: 10 })
    expect(places.name).toEqual({ line: 3, column: 12, offset: 30, length: 3 })
    expect(places.course).toMatchObject({ line: 4, column: 5, length: 11 })
    expect(places.atMost).toMatchObject({ line: 5, column: 14, length: 4 })
    expect(places.control).toMatchObject({ line: 6, column: 14, length: 16 })
  })

  test.each([
    ['then: Two', { next: { kind: 'stage', name: 'Two' } }],
    ['then: finish', { next: { kind: 'finish' } }],
    ['ask first: true', { askFirst: true }],
    ['ask first: no', { askFirst: false }],
    ['ask first: Is it clear?', { askFirst: true, question: 'Is it clear?' }],
    ['at most: 10 d\n    if late: go on', { atMost_s: 10 * DAY, ifLate: { kind: 'go on' } }],
    ['at most: 10 d\n    if late: hold', { ifLate: { kind: 'hold' } }],
    [
      'at most: 10 d\n    if late: { go to: Two }',
      { ifLate: { kind: 'go to', destination: { kind: 'stage', name: 'Two' } } },
    ],
    [
      'at most: 10 d\n    if late: { go to: finish }',
      { ifLate: { kind: 'go to', destination: { kind: 'finish' } } },
    ],
    ['tasks: [ Take a sample ]', { tasks: [{ name: 'Take a sample', wait: false }] }],
    [
      'tasks: [ { task: Rack it, when: { stage lasted: 3 d }, wait: true } ]',
      {
        tasks: [
          { name: 'Rack it', wait: true, when: { kind: 'elapsed', since: 'stage', atLeast_s: 3 * DAY } },
        ],
      },
    ],
    [
      'branches: [ { when: { since pitch: 20 d }, go to: Two, ask first: Shall it go on? } ]',
      {
        branches: [
          {
            when: { kind: 'elapsed', since: 'pitch' },
            destination: { kind: 'stage', name: 'Two' },
            askFirst: true,
            question: 'Shall it go on?',
          },
        ],
      },
    ],
    ['control: { heat: { start: 0.2 °C } }', { control: { heatStart_K: 0.2 } }],
  ])('%s', (text, expected) => {
    expect(readStage(`hold: 18 °C\n    ${text}`)).toMatchObject(expected)
  })

  test.each([
    ['{ wait: 12 h }', { wait_s: 12 * HOUR, then: { kind: 'ask' } }],
    ['{ wait: 12 h, then: ask }', { wait_s: 12 * HOUR, then: { kind: 'ask' } }],
    ['{ wait: 1 d, then: hold }', { wait_s: DAY, then: { kind: 'hold' } }],
    [
      '{ wait: 1 d, use: { stage lasted: 9 d } }',
      { then: { kind: 'use', instead: { kind: 'elapsed', since: 'stage', atLeast_s: 9 * DAY } } },
    ],
  ])('if unknown: %s', (text, expected) => {
    const keys = `hold: 18 °C\n    until: { attenuation: { at least: 70 % } }\n    if unknown: ${text}`
    expect(readStage(keys).ifUnknown).toMatchObject(expected)
  })
})

describe('a condition', () => {
  const value = (number: number) => ({ kind: 'value', value: number })

  test.each<[string, object]>([
    ['{ stage lasted: 3 d }', { kind: 'elapsed', since: 'stage', atLeast_s: 3 * DAY, lasting_s: 0 }],
    ['{ since pitch: P10D }', { kind: 'elapsed', since: 'pitch', atLeast_s: 10 * DAY }],
    ['{ at target for: 60 min }', { kind: 'elapsed', since: 'target', atLeast_s: HOUR }],
    [
      '{ gravity: { at most: 1.012 } }',
      { kind: 'compare', quantity: 'gravity', relation: 'at most', against: value(1.012) },
    ],
    ['{ gravity: { at least: 1.012 }, lasting: 2 h }', { relation: 'at least', lasting_s: 2 * HOUR }],
    [
      '{ gravity: { above final: 10 points } }',
      { kind: 'compare', relation: 'at most', against: { kind: 'above final', difference: 0.01 } },
    ],
    [
      '{ gravity: { above forecast: 5 points } }',
      { relation: 'at most', against: { kind: 'above forecast', difference: 0.005 } },
    ],
    [
      '{ gravity: { still above final: 10 points } }',
      { relation: 'at least', against: { kind: 'above final', difference: 0.01 } },
    ],
    [
      '{ gravity: { still above forecast: 10 points } }',
      { relation: 'at least', against: { kind: 'above forecast', difference: 0.01 } },
    ],
    [
      '{ gravity: { falls at most: 1 point/d } }',
      { kind: 'fall', relation: 'at most', rate_per_s: 0.001 / DAY, over_s: DAY },
    ],
    [
      '{ gravity: { falls at least: 5 points/d, over: 12 h } }',
      { kind: 'fall', relation: 'at least', rate_per_s: 0.005 / DAY, over_s: 12 * HOUR },
    ],
    [
      '{ gravity: { steady within: 1 point, for: 48 h } }',
      { kind: 'steady', quantity: 'gravity', within: 0.001, for_s: 48 * HOUR },
    ],
    ['{ attenuation: { at least: 75 % } }', { kind: 'attenuation', atLeast: 0.75 }],
    [
      '{ forecast final gravity: { at most: 1.014 } }',
      { kind: 'compare', quantity: 'forecast final gravity', against: value(1.014) },
    ],
    [
      '{ beer: { at most: 2.5 °C } }',
      { kind: 'compare', quantity: 'beer', relation: 'at most', against: value(2.5) },
    ],
    ['{ beer: { within: 0.5 °C } }', { kind: 'near target', within_K: 0.5 }],
    [
      '{ beer: { steady within: 0.2 °C, for: 6 h } }',
      { kind: 'steady', quantity: 'beer', within: 0.2, for_s: 6 * HOUR },
    ],
    [
      '{ air: { at least: 12 °C } }',
      { kind: 'compare', quantity: 'air', relation: 'at least', against: value(12) },
    ],
    ['{ pressure: { at least: 0.8 bar } }', { quantity: 'pressure', against: value(80000) }],
    ['{ pH: { at most: 4.4 } }', { quantity: 'pH', against: value(4.4) }],
    [
      '{ pH: { steady within: 0.05, for: 1 d } }',
      { kind: 'steady', quantity: 'pH', within: 0.05, for_s: DAY },
    ],
    ['{ humidity: { at most: 60 % } }', { quantity: 'humidity', against: value(0.6) }],
    ['{ power: { at least: 20 W } }', { quantity: 'power', against: value(20) }],
    [
      '{ date: { from: 2026-12-01T18:00 } }',
      { kind: 'calendar', from: { text: '2026-12-01T18:00', local_s: 1796148000 } },
    ],
    ['{ date: { from: 2026-12-01 18:00 } }', { kind: 'calendar', from: { local_s: 1796148000 } }],
    [
      '{ time of day: { from: "08:00", to: "22:00" } }',
      { kind: 'time of day', from_s: 8 * HOUR, to_s: 22 * HOUR },
    ],
    ['{ time of day: { from: 22:00, to: 6:00 } }', { from_s: 22 * HOUR, to_s: 6 * HOUR }],
    ['{ done: Add dry hops }', { kind: 'done', task: 'Add dry hops' }],
    ['{ not: { stage lasted: 3 d } }', { kind: 'not', of: { kind: 'elapsed' } }],
    [
      '{ any: [ { stage lasted: 3 d }, { not: { done: Add dry hops } } ], lasting: 1 h }',
      { kind: 'any', lasting_s: HOUR, of: [{ kind: 'elapsed' }, { kind: 'not', of: { kind: 'done' } }] },
    ],
    [
      '{ gravity: { above final: 2 points, steady within: 1 point, for: 2 d }, lasting: 3 h }',
      {
        kind: 'all',
        lasting_s: 3 * HOUR,
        of: [
          { kind: 'compare', lasting_s: 0 },
          { kind: 'steady', lasting_s: 0 },
        ],
      },
    ],
  ])('%s', (text, expected) => {
    expect(readCondition(text)).toMatchObject(expected)
  })

  test('in °P it is the gravity of that extract', () => {
    // NBS Circular 440: 3 °P is 1.01173.
    const condition = readCondition('{ gravity: { at most: 3 °P } }')
    const against =
      condition.kind === 'compare' && condition.against.kind === 'value' ? condition.against.value : 0
    expect(Math.abs(against - 1.01173)).toBeLessThan(3e-5)
  })
})

test('a key that is still being typed is told in plain words', () => {
  for (const text of ['plan: A\nsta', 'plan: A\nstages:\n  - stage: One\n    ho\n    until: { done: B }\n']) {
    const { plan, findings } = readPlan(text, 'test.yaml')
    expect(plan).toBeNull()
    expect(findings.map(({ message }) => message)).toEqual([
      'This is not valid YAML: a colon or a comma is missing here.',
    ])
  }
})
