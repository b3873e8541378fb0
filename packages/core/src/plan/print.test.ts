import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { type DisplayUnits, USUAL_UNITS } from '../units/display.ts'
import { parseQuantity } from '../units/parse.ts'
import type { QuantityKind } from '../units/quantity.ts'
import { describePlan } from './english.ts'
import type { Plan } from './plan.ts'
import { printPlan } from './print.ts'
import { printQuantity } from './print-quantity.ts'
import { readPlan } from './read-plan.ts'

const US: DisplayUnits = { temperature: 'F', gravity: 'P', volume: 'gal' }

function read(text: string): Plan {
  const { plan, findings } = readPlan(text, 'printed.plan.yaml')
  expect(findings, text).toEqual([])
  return plan!
}

/** The same data without places. */
function bare(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(bare)
  if (typeof value !== 'object' || value === null) return value
  const entries = Object.entries(value).filter(([key]) => key !== 'place' && key !== 'places')
  return Object.fromEntries(entries.map(([key, each]) => [key, bare(each)]))
}

/** Numbers to ten digits, for units of another scale. */
function rounded(value: unknown): unknown {
  return JSON.parse(
    JSON.stringify(bare(value), (_, each) =>
      typeof each === 'number' && each !== 0 ? Number(each.toPrecision(8)) : each,
    ),
  )
}

describe('quantities', () => {
  it.each<[number, QuantityKind, string, string]>([
    [18, 'temperature', '18 °C', '64.4 °F'],
    [-0.5, 'temperature', '-0.5 °C', '31.1 °F'],
    [0.3, 'temperature difference', '0.3 °C', '0.54 °F'],
    [1 / 3600, 'temperature rate', '1 °C/h', '1.8 °F/h'],
    [2 / 86_400, 'temperature rate', '2 °C/d', '3.6 °F/d'],
    [1.012, 'gravity', '1.012', '1.012'],
    [1.01, 'gravity', '1.010', '1.010'],
    [0.01, 'gravity difference', '10 points', '10 points'],
    [0.001, 'gravity difference', '1 point', '1 point'],
    [0.001 / 86_400, 'gravity rate', '1 point/d', '1 point/d'],
    [0.75, 'share', '75 %', '75 %'],
    [80_000, 'pressure', '0.8 bar', '0.8 bar'],
    [0.18, 'gain', '18 %/°C', '10 %/°F'],
    [129_600, 'duration', '1 d 12 h', '1 d 12 h'],
    [0, 'duration', '0 s', '0 s'],
    [4.4, 'number', '4.4', '4.4'],
  ])('%s as a %s', (value, kind, usual, american) => {
    expect(printQuantity(value, kind, USUAL_UNITS)).toBe(usual)
    expect(printQuantity(value, kind, US)).toBe(american)
  })

  it('keep °P where the brewer wrote °P', () => {
    for (const [text, kind] of [
      ['3.1 °P', 'gravity'],
      ['2.5 °P', 'gravity difference'],
      ['0.3 °P/d', 'gravity rate'],
    ] as const) {
      const value = parseQuantity(text, kind)
      expect(value.ok && printQuantity(value.value, kind, US)).toBe(text)
    }
  })
})

const SAMPLE = `plan: Amber ale with a warm finish
limits: { lowest: 0 °C, highest: 24 °C, if broken: hold }

stages:
  - stage: Primary
    hold: 18 °C
    until: { gravity: { above final: 10 points } }
    at most: 10 d
    if late: ask
    if unknown: { wait: 12 h, use: { stage lasted: 8 d } }
    branches:
      - when: { beer: { at least: 23 °C }, lasting: 2 h }
        go to: Crash
        ask first: "Too warm: go on?"
    tasks: [Take a sample]

  - stage: Warm finish
    ramp: { to: 21 °C, over: 3 d }
    until:
      all:
        - gravity: { steady within: 1 point, for: 2 d }
        - stage lasted: 3 d
        - time of day: { from: "08:00", to: "22:00" }
    ask first: true

  - stage: Crash
    ramp: { to: 2 °C, at: 1 °C/h }
    until: { beer: { at most: 2.5 °C }, lasting: 12 h }
    then: finish
`

describe('plans', () => {
  it('are printed as the house writes them', () => {
    expect(printPlan(read(SAMPLE), USUAL_UNITS)).toBe(SAMPLE)
  })

  it('quote what YAML would misread', () => {
    for (const name of [
      '- dash',
      'a: b',
      '#1',
      'x #y',
      '"',
      '{a}',
      "it's",
      '1.2',
      '[',
      '&a',
      '* b',
      '\\',
      '%',
      'ø…',
      '?',
    ]) {
      const text = printPlan({ ...read(SAMPLE), name }, USUAL_UNITS)
      expect(read(text).name).toBe(name)
    }
  })

  it('read the same again, whatever they are', ({ task }) => {
    judge(task, { cases: 150 }, [anyPlan], plan => {
      const again = read(printPlan(plan, USUAL_UNITS))
      expect(bare(again)).toEqual(bare(plan))
    })
  })

  it('read the same again in °F and °P, to 8 digits', ({ task }) => {
    judge(task, { cases: 60 }, [anyPlan], plan => {
      const again = read(printPlan(plan, US))
      expect(rounded(again)).toEqual(rounded(plan))
    })
  })
})

describe('the English of any plan', () => {
  it('has a paragraph for each stage, and no gap where something should be said', ({ task }) => {
    judge(task, { cases: 200 }, [anyPlan], plan => {
      for (const units of [USUAL_UNITS, US]) {
        const paragraphs = describePlan(plan, units)
        for (const { name } of plan.stages) {
          expect(paragraphs.filter(paragraph => paragraph.startsWith(`${name}: `)).length).toBeGreaterThan(0)
        }
        expect(paragraphs.join(' ')).not.toMatch(/undefined|NaN|null|unknown °|\[object/)
      }
    })
  })
})

// Arbitrary plans: values as a person can write them, names as the reader lets them pass.

const place = { line: 1, column: 1, offset: 0, length: 1 }

function written(
  kind: QuantityKind,
  unit: string,
  least: number,
  most: number,
  steps: number,
): fc.Arbitrary<number> {
  return fc.integer({ min: least * steps, max: most * steps }).map(count => {
    const value = parseQuantity(`${count / steps} ${unit}`, kind)
    if (!value.ok) throw new Error(value.problem.message)
    return value.value
  })
}

const temperature = written('temperature', '°C', -20, 119, 100)
const difference = fc.oneof(
  written('temperature difference', '°C', 1, 5, 100),
  written('temperature difference', '°F', 1, 5, 10),
)
const duration = fc.oneof(
  written('duration', 'd', 1, 30, 2),
  written('duration', 'min', 1, 90, 1),
  fc.integer({ min: 1, max: 10_000_000 }),
)
const points = written('gravity difference', 'points', 0, 20, 10)
const clock = fc.integer({ min: 0, max: 1440 }).map(minutes => minutes * 60)
const anyName = fc
  .string({
    minLength: 1,
    maxLength: 20,
    unit: fc.constantFrom(...'abcXYZ 019:#-{}[],"\'&*?|>%@`!\\é°…'.split('')),
  })
  .map(text => text.trim().replace(/\s+/g, ' '))
  .filter(text => text !== '' && !/^(finish|true|yes|false|no)$/i.test(text))

function optionally<K extends string, T>(
  key: K,
  value: fc.Arbitrary<T>,
): fc.Arbitrary<{ readonly [P in K]?: T }> {
  return fc
    .option(value, { nil: undefined })
    .map(each => (each === undefined ? {} : { [key]: each })) as fc.Arbitrary<{
    readonly [P in K]?: T
  }>
}

const leaf = fc.oneof(
  fc.record({
    kind: fc.constant('elapsed' as const),
    since: fc.constantFrom('pitch' as const, 'stage' as const, 'target' as const),
    atLeast_s: duration,
  }),
  fc
    .tuple(
      fc.constantFrom('at least' as const, 'at most' as const),
      fc.oneof(
        fc.tuple(fc.constantFrom('beer', 'air'), temperature),
        fc.tuple(
          fc.constantFrom('gravity', 'forecast final gravity'),
          written('gravity', 'SG', 1, 1.2, 1000),
        ),
        fc.tuple(fc.constant('pressure'), written('pressure', 'bar', 0, 3, 100)),
        fc.tuple(fc.constant('pH'), written('number', '', 3, 7, 100)),
        fc.tuple(fc.constant('humidity'), written('share', '%', 0, 100, 10)),
        fc.tuple(fc.constant('power'), written('power', 'W', 0, 3000, 1)),
      ),
    )
    .map(([relation, [quantity, value]]) => ({
      kind: 'compare' as const,
      quantity,
      relation,
      against: { kind: 'value' as const, value },
    })),
  fc.record({
    kind: fc.constant('compare' as const),
    quantity: fc.constant('gravity'),
    relation: fc.constantFrom('at least' as const, 'at most' as const),
    against: fc.record({
      kind: fc.constantFrom('above final' as const, 'above forecast' as const),
      difference: points,
    }),
  }),
  fc.record({ kind: fc.constant('attenuation' as const), atLeast: written('share', '%', 0, 100, 10) }),
  fc.record({
    kind: fc.constant('fall' as const),
    relation: fc.constantFrom('at least' as const, 'at most' as const),
    rate_per_s: written('gravity rate', 'points/d', 0, 20, 10),
    over_s: fc.oneof(fc.constant(86_400), duration),
  }),
  fc.record({
    kind: fc.constant('steady' as const),
    quantity: fc.constant('gravity'),
    within: written('gravity difference', 'points', 1, 5, 10),
    for_s: duration,
  }),
  fc.record({ kind: fc.constant('near target' as const), within_K: difference }),
  fc.constant({ kind: 'calendar' as const, from: { text: '2026-12-01T18:00', local_s: 1_796_148_000 } }),
  fc.record({ kind: fc.constant('time of day' as const), from_s: clock, to_s: clock }),
)

const { condition } = fc.letrec(tie => ({
  condition: fc
    .tuple(
      fc.oneof(
        { depthSize: 'small', withCrossShrink: true },
        leaf,
        fc.record({
          kind: fc.constantFrom('all' as const, 'any' as const),
          of: fc.array(tie('condition'), { minLength: 1, maxLength: 3 }),
        }),
        fc.record({ kind: fc.constant('not' as const), of: tie('condition') }),
      ),
      fc.oneof(fc.constant(0), duration),
    )
    .map(([body, lasting_s]) => ({ ...(body as object), lasting_s, place })),
})) as { condition: fc.Arbitrary<NonNullable<Plan['stages'][number]['until']>> }

const asking = fc.oneof(
  fc.constant({ askFirst: false }),
  fc.constant({ askFirst: true }),
  anyName.map(question => ({ askFirst: true, question })),
)

const control = fc
  .tuple(
    optionally('method', fc.constantFrom('on-off' as const, 'proportional' as const, 'cascade' as const)),
    optionally('heatStart_K', difference),
    optionally('coolStop_K', written('temperature difference', '°C', -1, 0, 10)),
    optionally('gain_per_K', written('gain', '%/°C', 1, 90, 1)),
    optionally('integral_s', fc.oneof(fc.constant(0), duration)),
    optionally('window_s', fc.integer({ min: 1, max: 3600 })),
    optionally('cascadeGain', written('number', '', 1, 9, 10)),
    optionally('airHighest_C', temperature),
    optionally('reached_K', difference),
  )
  .map(parts => Object.assign({}, ...parts) as Plan['control'])

const course = fc.oneof(
  temperature.map(target_C => ({ kind: 'hold' as const, target_C })),
  fc
    .tuple(
      optionally('from_C', temperature),
      temperature,
      fc.oneof(
        duration.map(over_s => ({ over_s })),
        fc
          .oneof(written('temperature rate', '°C/h', 1, 9, 10), written('temperature rate', '°F/d', 1, 9, 1))
          .map(rate_K_per_s => ({ rate_K_per_s })),
      ),
    )
    .map(([from, to_C, pace]) => ({ kind: 'ramp' as const, to_C, ...from, ...pace })),
  fc
    .tuple(temperature, optionally('lowest_C', temperature))
    .filter(([cap_C, { lowest_C }]) => lowest_C === undefined || lowest_C < cap_C)
    .map(([cap_C, lowest]) => ({ kind: 'free rise' as const, cap_C, ...lowest })),
  fc.constant({ kind: 'leave alone' as const }),
  fc.record({
    kind: fc.constant('boil' as const),
    power: written('share', '%', 1, 100, 1),
    from_C: fc.oneof(fc.constant(100), temperature),
  }),
)

const anyPlan: fc.Arbitrary<Plan> = fc.uniqueArray(anyName, { minLength: 1, maxLength: 4 }).chain(names => {
  const somewhere = fc.oneof(
    fc.constantFrom(...names).map(name => ({ kind: 'stage' as const, name, place })),
    fc.constant({ kind: 'finish' as const }),
  )
  const taskNames = names.map(name => `Task ${name}`)
  const done = fc
    .constantFrom(...taskNames)
    .map(task => ({ kind: 'done' as const, task, lasting_s: 0, place }))
  const anyCondition = fc.oneof({ weight: 5, arbitrary: condition }, { weight: 1, arbitrary: done })
  const stageOf = (name: string, index: number) =>
    fc
      .record({
        course,
        next: fc.oneof(fc.constant({ kind: 'following' as const }), somewhere),
        asking,
        until: optionally('until', anyCondition),
        late: fc.option(
          fc.record({
            atMost_s: duration,
            ifLate: fc.oneof(
              fc.constantFrom(
                { kind: 'ask' as const },
                { kind: 'go on' as const },
                { kind: 'hold' as const },
              ),
              somewhere.map(destination => ({ kind: 'go to' as const, destination })),
            ),
          }),
          { nil: { ifLate: { kind: 'ask' as const } } },
        ),
        unknown: optionally(
          'ifUnknown',
          fc.record({
            wait_s: duration,
            then: fc.oneof(
              fc.constantFrom({ kind: 'ask' as const }, { kind: 'hold' as const }),
              anyCondition.map(instead => ({ kind: 'use' as const, instead })),
            ),
            place: fc.constant(place),
          }),
        ),
        branches: fc.array(
          fc
            .tuple(anyCondition, somewhere, asking)
            .map(([when, destination, ask]) => ({ when, destination, ...ask, place })),
          { maxLength: 2 },
        ),
        task: fc
          .tuple(optionally('when', anyCondition), fc.boolean())
          .map(([when, wait]) => ({ name: taskNames[index]!, ...when, wait, place })),
        control,
      })
      .map(({ asking: ask, until, late, unknown, task, ...rest }) => ({
        name,
        ...rest,
        ...ask,
        ...until,
        ...late,
        ...(until.until === undefined ? {} : unknown),
        tasks: [task],
        place,
        places: { course: place, name: place },
      }))
  return fc.record({
    name: anyName,
    side: fc.constantFrom('fermentation' as const, 'hot side' as const),
    limits: fc
      .tuple(
        optionally('lowest_C', written('temperature', '°C', -20, 0, 10)),
        optionally('highest_C', written('temperature', '°C', 20, 100, 10)),
        fc.constantFrom('alarm' as const, 'hold' as const, 'switch off' as const),
      )
      .map(([lowest, highest, ifBroken]) => ({ ...lowest, ...highest, ifBroken, place })),
    control,
    stages: fc.tuple(...names.map(stageOf)) as unknown as fc.Arbitrary<Plan['stages']>,
    place: fc.constant(place),
  })
}) as fc.Arbitrary<Plan>
