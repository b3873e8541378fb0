import { readdirSync, readFileSync } from 'node:fs'
import { beerSchema } from '@attemper/core/beer/schema.ts'
import { planSchema } from '@attemper/core/plan/schema.ts'
import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { startReading } from '@attemper/core/source-text/reading.ts'
import { scalarsOf } from '@attemper/core/source-text/schema-walk.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { vesselSchema } from '@attemper/core/vessel/schema.ts'
import { describe, expect, test } from 'vitest'
import { explanationAt } from './explanation.ts'
import { offersAt } from './offers.ts'

function offered(text: string, schema: JsonSchema = planSchema, units = USUAL_UNITS) {
  const at = text.indexOf('|')
  return offersAt(text.replace('|', ''), at, schema, units)?.offers ?? []
}

function labels(text: string, schema?: JsonSchema) {
  return offered(text, schema).map(({ label }) => label)
}

describe('keys', () => {
  test('what is needed comes first, what is there already not at all', () => {
    expect(labels('|')).toEqual(['plan', 'stages', 'side', 'limits', 'control'])
    expect(labels('plan: A\n|')).toEqual(['stages', 'side', 'limits', 'control'])
    expect(labels('limits: { lowest: 0 °C, | }')).toEqual(['highest', 'if broken'])
  })

  test('of those that exclude each other none is left when one is there', () => {
    const free = labels('stages:\n  - stage: A\n    |')
    expect(free).toContain('hold')
    expect(free).toContain('leave alone')
    const decided = labels('stages:\n  - stage: A\n    hold: 18 °C\n    |')
    expect(decided).not.toContain('ramp')
    expect(decided).toContain('until')
  })

  test('bring along what must follow them', () => {
    const insert = (text: string, key: string) => offered(text).find(({ label }) => label === key)?.insert
    expect(insert('stages:\n  - stage: A\n    |', 'ramp')).toBe('ramp: { ‸ }')
    expect(insert('stages:\n  - stage: A\n    |', 'tasks')).toBe('tasks:\n      - ‸')
    expect(insert('stages:\n  - stage: A\n    |', 'at most')).toBe('at most: ')
    expect(insert('plan: A\n|', 'stages')).toBe('stages:\n  - ‸')
    expect(insert('stages:\n  - stage: A\n  |', 'stage')).toBe('- stage: ')
  })

  test('say what they mean', () => {
    expect(offered('stages:\n  - stage: A\n    |').find(({ label }) => label === 'hold')?.meaning).toBe(
      'Keeps the beer at this temperature.',
    )
  })

  test('of conditions in conditions', () => {
    expect(labels('stages:\n  - until: { all: [ { not: { | } } ] }')).toContain('stage lasted')
    expect(labels('stages:\n  - until:\n      |')).toContain('gravity')
    expect(labels('stages:\n  - until: { gravity: { | } }')).toContain('still above final')
  })
})

describe('values', () => {
  test('words that are allowed', () => {
    expect(labels('side: |')).toEqual(['fermentation', 'hot side'])
    expect(labels('stages:\n  - if late: |')).toEqual(['{ go to: … }', 'ask', 'go on', 'hold'])
    expect(labels('stages:\n  - ask first: |')).toEqual(['true', 'false'])
    expect(labels('yeast: { class: |', beerSchema)).toContain('lager')
  })

  test('names that the text gives, even when the rest of it is broken', () => {
    const text = 'stages:\n  - stage: Primary\n    then: |\n  - { stage: "Cold store", hold: [\n  - stage:\n'
    expect(labels(text)).toEqual(['Primary', 'Cold store', 'finish'])
    const tasks = 'stages:\n  - tasks:\n      - { task: Add hops, wait: true }\n    until: { done: | }'
    expect(labels(tasks)).toEqual(['Add hops'])
  })

  test('units behind a number, the brewer’s own first', () => {
    expect(labels('stages:\n  - hold: 18|')).toEqual(['18 °C', '18 °F'])
    const fahrenheit = offered('stages:\n  - hold: 64 |', planSchema, { ...USUAL_UNITS, temperature: 'F' })
    expect(fahrenheit.map(({ label }) => label)).toEqual(['64 °F', '64 °C'])
    expect(labels('stages:\n  - at most: 3|')).toEqual(['3 w', '3 d', '3 h', '3 min', '3 s'])
  })

  test('examples while there is no number', () => {
    expect(labels('stages:\n  - hold: |')).toEqual(['18 °C', '64 °F'])
    expect(labels('stages:\n  - until: { gravity: { above final: |')).toEqual(['10 points', '2.5 °P'])
  })

  test('nothing in a comment, or where the language has nothing', () => {
    expect(labels('# |')).toEqual([])
    expect(labels('nonsense: { |')).toEqual([])
  })
})

const SORTS = { plan: planSchema, vessel: vesselSchema, beer: beerSchema } as const
const EXAMPLES = new URL('../../../../examples/', import.meta.url)

describe.each(Object.entries(SORTS))('in each example of a %s', (sort, schema) => {
  const texts = readdirSync(EXAMPLES)
    .filter(name => name.endsWith(`.${sort}.yaml`))
    .map(name => readFileSync(new URL(name, EXAMPLES), 'utf8'))

  test('each word that is allowed is offered where it stands, with the text behind it cut off', () => {
    let words = 0
    for (const text of texts)
      for (const { scalar, schemas } of scalarsOf(readYaml(startReading(text, sort))!, schema)) {
        if (!schemas.some(each => Array.isArray(each.enum) && each.enum.includes(scalar.text))) continue
        const { offset } = scalar.place
        const found = offersAt(text.slice(0, offset), offset, schema, USUAL_UNITS)
        expect(found?.offers.map(({ label }) => label)).toContain(scalar.text)
        words += 1
      }
    if (sort !== 'vessel') expect(words).toBeGreaterThan(2)
  })

  test('a text that is cut off anywhere is offered something or nothing, and never breaks the editor', () => {
    for (const text of texts)
      for (let at = 0; at <= text.length; at += 7) {
        const found = offersAt(text.slice(0, at), at, schema, USUAL_UNITS)
        if (found !== null) {
          expect(found.from).toBeLessThanOrEqual(at)
          expect(text.slice(found.from, at)).not.toContain('\n')
        }
        const explained = explanationAt(text, at, schema)
        if (explained !== null) expect(text.slice(explained.from, explained.to)).toBe(explained.key)
      }
  })

  test('each key is offered where it stands', () => {
    let keys = 0
    for (const text of texts)
      for (const { path, scalar } of scalarsOf(readYaml(startReading(text, sort))!, schema)) {
        const key = path.at(-1)
        const line = text.slice(0, scalar.place.offset)
        const at = typeof key === 'string' ? line.lastIndexOf(`${key}:`) : -1
        if (at === -1) continue
        const found = offersAt(text.slice(0, at), at, schema, USUAL_UNITS)
        expect(
          found?.offers.map(({ label }) => label),
          `${line.slice(-80)}`,
        ).toContain(key)
        keys += 1
      }
    expect(keys).toBeGreaterThan(20)
  })
})

test('instruments are offered where a vessel says whom it trusts', () => {
  const vessel =
    'instruments:\n  - instrument: Probe\n  - { instrument: "Float 2", every: 15 min }\ntrust: { beer: [ | ] }'
  expect(labels(vessel, vesselSchema)).toEqual(['Probe', 'Float 2'])
})
