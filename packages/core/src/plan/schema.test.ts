import { readdirSync, readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { readBeer } from '../beer/read-beer.ts'
import { beerSchema } from '../beer/schema.ts'
import type { Finding } from '../finding.ts'
import type { JsonSchema } from '../source-text/shape.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { vesselSchema } from '../vessel/schema.ts'
import { readPlan } from './read-plan.ts'
import { planSchema } from './schema.ts'

const EXAMPLES = new URL('../../../../examples/', import.meta.url)

interface Sort {
  readonly schema: JsonSchema
  readonly read: (text: string) => { readonly findings: readonly Finding[] }
}

const SORTS: Readonly<Record<string, Sort>> = {
  plan: { schema: planSchema, read: text => readPlan(text, 'test.yaml') },
  vessel: { schema: vesselSchema, read: text => readVessel(text, 'test.yaml') },
  beer: { schema: beerSchema, read: text => readBeer(text, 'test.yaml') },
}

function examplesOf(sort: string): [string, string][] {
  return readdirSync(EXAMPLES)
    .filter(name => name.endsWith(`.${sort}.yaml`))
    .map(name => [name, readFileSync(new URL(name, EXAMPLES), 'utf8')])
}

function validator(schema: JsonSchema) {
  return new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true, strictRequired: false }).compile(
    schema,
  )
}

/** Every mapping with named keys in a schema, with the path to it in the keys of the file. */
function mappings(
  schema: unknown,
  path: readonly string[] = [],
): { path: readonly string[]; schema: JsonSchema }[] {
  if (typeof schema !== 'object' || schema === null) return []
  const node = schema as Record<string, unknown>
  const properties = (node.properties ?? {}) as Record<string, unknown>
  return [
    ...('properties' in node ? [{ path, schema: node }] : []),
    ...Object.entries(properties).flatMap(([key, value]) => mappings(value, [...path, key])),
    ...[
      node.items,
      ...((node.anyOf as unknown[]) ?? []),
      ...Object.values((node.$defs as object) ?? {}),
    ].flatMap(each => mappings(each, path)),
  ]
}

describe.each(Object.entries(SORTS))('the schema of a %s', (name, { schema, read }) => {
  test('describes each key', () => {
    const found = mappings(schema)
    expect(found.length).toBeGreaterThan(2)
    for (const mapping of found) {
      expect(mapping.schema.additionalProperties, mapping.path.join(' > ')).toBe(false)
      for (const [key, value] of Object.entries(mapping.schema.properties as Record<string, JsonSchema>)) {
        expect(value.description, [...mapping.path, key].join(' > ')).toMatch(/^.{10,}\.$/s)
      }
    }
  })

  test('accepts the examples, as the reader does', () => {
    const validate = validator(schema)
    const examples = examplesOf(name)
    expect(examples.length).toBeGreaterThanOrEqual(3)
    for (const [file, text] of examples) {
      expect(read(text).findings, file).toEqual([])
      validate(parse(text))
      expect(validate.errors, file).toBeNull()
    }
  })

  test('refuses an unknown key wherever the reader refuses it', () => {
    const validate = validator(schema)
    for (const [file, text] of examplesOf(name)) {
      const lines = text.split('\n')
      for (const [number, line] of lines.entries()) {
        const key = /^( *)(- )?\w[\w ]*:/.exec(line)
        if (key === null) continue
        const [, indent = '', dash = ''] = key
        const own = `${indent}${' '.repeat(dash.length)}${line.slice(indent.length + dash.length)}`
        const mended = lines.with(number, `${indent}${dash}zzz: 1\n${own}`).join('\n')
        expect(
          read(mended).findings.map(finding => finding.code),
          `${file}: ${line}`,
        ).toContain('unknown-key')
        expect(validate(parse(mended)), `${file}: ${line}`).toBe(false)
      }
    }
  })
})

/** A file that uses every key of the language, so that reader and schema are seen to know the same ones. */
const ALL_WORDS: Readonly<Record<string, readonly string[]>> = {
  plan: [
    `plan: Everything
side: fermentation
limits: { lowest: 0 °C, highest: 24 °C, if broken: alarm }
control:
  method: cascade
  heat: { start: 0.3 °C, stop: 0 }
  cool: { start: 0.3 °C, stop: 0 °C }
  gain: 20 %/°C
  integral: 8 min
  derivative: 20 s
  window: 60 s
  air: { gain: 4, lowest: 0 °C, highest: 30 °C }
  reached within: 0.5 °C
stages:
  - stage: 1
    ramp: { from: 18 °C, to: 20 °C, over: 3 d }
    until:
      any:
        - all: [ { stage lasted: 3 d }, { since pitch: 3 d }, { at target for: 3 h }, { done: Hops } ]
        - not: { attenuation: { at least: 70 % } }
          lasting: 3 h
        - gravity: { at least: 1.010, at most: 1.012, above final: 3 points, above forecast: 0.003 }
        - gravity: { still above final: 3 points, still above forecast: 3 points }
        - gravity: { falls at most: 1 point/d, falls at least: 0, over: 12 h, steady within: 1 point, for: 48 h }
        - forecast final gravity: { at least: 1.010, at most: 3 °P }
        - beer: { at least: 1 °C, at most: 2.5 °C, within: 0.5 °C, steady within: 0.1 °C, for: 3 h }
        - air: { at least: 1 °C, at most: 2.5 °C, steady within: 0.1 °C, for: 3 h }
        - pressure: { at least: 0.5 bar, at most: 0.8 bar, steady within: 0.1 bar, for: 3 h }
        - pH: { at least: 4, at most: 4.4, steady within: 0.1, for: 3 h }
        - humidity: { at least: 40 %, at most: 60 %, steady within: 1 %, for: 3 h }
        - power: { at least: 20 W, at most: 30 W, steady within: 1 W, for: 3 h }
        - date: { from: 2026-12-01T18:00 }
        - time of day: { from: "08:00", to: "22:00" }
    then: Three
    ask first: Really?
    at most: 10 d
    if late: { go to: Three }
    if unknown: { wait: 3 h, use: { stage lasted: 9 d } }
    branches: [ { when: { since pitch: 3 d }, go to: finish, ask first: true } ]
    tasks: [ Hops, { task: Yeast, when: { stage lasted: 1 d }, wait: true } ]
    control: { method: on-off }
  - { stage: Two, rest: 65 °C, if unknown: { wait: 0, then: hold }, until: { done: Hops } }
  - { stage: Three, hold: 65 °C }
  - { stage: Four, free rise: { to: 24 °C, not below: 18 °C } }
  - { stage: Five, leave alone: true }
  - { stage: Six, boil: { power: 70 %, from: 98 °C } }
  - { stage: Seven, boil: 70 % }
  - { stage: Eight, ramp: { to: 2 °C, at: 1 °C/h } }
`,
  ],
  vessel: [
    `vessel: Everything
beer: 20 L ± 5 %
heat paths: { beer to wall: 12 W/°C, wall stores: 3 kJ/°C, wall to air: 4 W/°C, air stores: 9 kJ/°C, air to room: 1 W/K }
room: { average: 14 °C ± 3 °C, daily swing: 3 °C, warmest at: "16:00" }
heater:
  power: 30 W
  stores: 0.4 kJ/°C
  to beer: 0
  to wall: 3 W/°C
  to air: 0.5 W/°C
  rests at least: 1 s
  runs at least: 1 s
  lost commands: 1 %
cooler:
  power: 90 W
  coldest: -18 °C
  stores: 4 kJ/°C
  to air: 6 W/°C
  to beer: 0 W/°C
  rests at least: 5 min
  runs at least: 3 min
  lost commands: 1 %
instruments:
  - instrument: Probe
    every: 5 s
    by hand: false
    timeout: 1 min
    calibrated: 2026-05-01
    calibrate every: 365 d
    outages: { per day: 1, last: 1 h }
    measures:
      beer: { noise: 0.1 °C, resolution: 0, bias: 0 °C ± 0.2 °C, drift per day: 0.01 °C, lag: 60 s, foam: 0, lowest: 0 °C, highest: 40 °C, step: 3 °C, sits: wall }
      air: { noise: 0.1 °C, resolution: 0, bias: 0, drift per day: 0, lag: 0, foam: 0, lowest: 0 °C, highest: 40 °C, step: 3 °C, sits: room }
      gravity: { noise: 1 point, resolution: 0, bias: 0 points, drift per day: 0, lag: 0, foam: 0, lowest: 0.98, highest: 1.2, step: 9 points }
      pressure: { noise: 1 kPa, resolution: 0, bias: 0, drift per day: 0, lag: 0, foam: 0, lowest: 0, highest: 3 bar, step: 1 bar }
      pH: { noise: 0.1, resolution: 0, bias: 0, drift per day: 0, lag: 0, foam: 0, lowest: 3, highest: 7, step: 1 }
      humidity: { noise: 1 %, resolution: 0, bias: 0, drift per day: 0, lag: 0, foam: 0, lowest: 0, highest: 100 %, step: 9 % }
      power: { noise: 1 W, resolution: 0, bias: 0, drift per day: 0, lag: 0, foam: 0, lowest: 0, highest: 99 W, step: 9 W }
trust: { beer: [Probe], air: [Probe], gravity: [Probe], pressure: [Probe], pH: [Probe], humidity: [Probe], power: [Probe] }
control:
  method: proportional
  heat: { start: 0.3 °C, stop: 0 }
  cool: { start: 0.3 °C, stop: 0 °C }
  gain: 20 %/°C
  integral: 8 min
  derivative: 20 s
  window: 60 s
  air: { gain: 4, lowest: 0 °C, highest: 30 °C }
  reached within: 0.5 °C
interlocks:
  changeover: 10 min
  command lasts: 15 min
  heater answers within: 3 h
  cooler answers within: 3 h
  answer: 0.3 °C
  temperatures agree within: 1 °C
  gravities agree within: 5 points
`,
    `vessel: With a thermostat
beer: 60 L
heat paths: { wall to room: 4 W/°C }
room: { average: 14 °C }
heater: { power: 90 W }
thermostat: { follows: beer, hysteresis: 0.3 °C, lowest: -2 °C, highest: 35 °C, resolution: 0.1 °C, when unheard: keeps its target, bias: 0, lag: 2 min, lost commands: 1 % }
instruments: [ { instrument: Probe, every: 5 s, measures: { beer: {} } } ]
`,
    `vessel: Without a cabinet
beer: 20 L
heat paths: { wall to room: 4 W/°C }
room: { average: 14 °C }
instruments: [ { instrument: Probe, every: 5 s, measures: { beer: {} } } ]
`,
  ],
  beer: [
    `beer: Everything
volume: 19 L
original gravity: 1.050
original gravity from: hand
final gravity: 1.012 ± 1 point
starts at: 18 °C
start: 2026-12-04T18:00
yeast:
  name: 34
  class: ale
  comfort: { lowest: 17 °C, highest: 22 °C }
  attenuation: { lowest: 70 %, highest: 80 % }
  pitch: 0.75
  vigour: 1 ± 15 %
brewer: { answers within: 3 h, asleep: { from: "23:00", to: "07:00" }, away at weekends: false }
`,
  ],
}

describe.each(Object.entries(SORTS))('all words of a %s', (name, { schema, read }) => {
  const texts = ALL_WORDS[name]!

  test('are known to the reader and to the schema', () => {
    const validate = validator(schema)
    for (const text of texts) {
      expect(read(text).findings).toEqual([])
      validate(parse(text))
      expect(validate.errors).toBeNull()
    }
  })

  test('there is none in the schema that the text above does not use', () => {
    const used = new Set<string>()
    const collect = (value: unknown) => {
      if (Array.isArray(value)) value.forEach(collect)
      else if (typeof value === 'object' && value !== null) {
        for (const [key, inner] of Object.entries(value)) {
          used.add(key)
          collect(inner)
        }
      }
    }
    for (const text of texts) collect(parse(text))
    // Those that cannot stand beside another key are in the examples, or say the same.
    const unused = mappings(schema)
      .flatMap(mapping => Object.keys(mapping.schema.properties as object))
      .filter(key => !used.has(key))
    expect(unused).toEqual([])
  })
})
