import { ITEM } from '@attemper/core/source-text/schema-walk.ts'
import { describe, expect, test } from 'vitest'
import { contextAt } from './text-context.ts'

/** The context at the sign | in a text. */
function at(text: string) {
  const cursor = text.indexOf('|')
  const found = contextAt(text.replace('|', ''), cursor)
  if (found === null) return null
  const path = found.path.map(step => (step === ITEM ? '-' : step)).join(' > ')
  expect(text.slice(found.from, cursor)).toBe(found.typed)
  return `${found.expects} of ${path === '' ? 'all' : path}: ${found.typed}`
}

describe('in lines', () => {
  test.each([
    ['|', 'key of all: '],
    ['pl|', 'key of all: pl'],
    ['plan: Ale\n|', 'key of all: '],
    ['plan: A|', 'value of plan: A'],
    ['plan: |\nstages:\n', 'value of plan: '],
    ['stages:\n  |', 'either of stages: '],
    ['stages:\n  - |', 'either of stages > -: '],
    ['stages:\n  - st|', 'either of stages > -: st'],
    ['stages:\n  - stage: One\n    |', 'key of stages > -: '],
    ['stages:\n  - stage: One\n    hold: 1|', 'value of stages > - > hold: 1'],
    ['stages:\n  - stage: One\n  |', 'item of stages: '],
    ['stages:\n- stage: One\n  ho|', 'key of stages > -: ho'],
    ['stages:\n- stage: One\n- |', 'either of stages > -: '],
    ['stages:\n  - stage: One\n    until:\n      |', 'either of stages > - > until: '],
    [
      'stages:\n  - stage: One\n    until:\n      all:\n        - ga|',
      'either of stages > - > until > all > -: ga',
    ],
    [
      'stages:\n  - stage: One\n    until:\n      all:\n        - gravity:\n            at |',
      'either of stages > - > until > all > - > gravity: at ',
    ],
    ['stages:\n  - stage: One\n    until: { stage lasted: 3 d }\n    |', 'key of stages > -: '],
    ['stages:\n  - stage: One\n    tasks:\n      - Hops\n      - Y|', 'either of stages > - > tasks > -: Y'],
    ['limits: { lowest: 0 °C }\n|', 'key of all: '],
    ['# told\nplan: |', 'value of plan: '],
    ['"plan": |', 'value of plan: '],
    ['stages:\r\n  - stage: One\r\n    |', 'key of stages > -: '],
  ])('%j', (text, expected) => expect(at(text)).toBe(expected))
})

describe('in braces and brackets', () => {
  test.each([
    ['limits: { |', 'key of limits: '],
    ['limits: { lowest: |', 'value of limits > lowest: '],
    ['limits: { lowest: 0 °C, |', 'key of limits: '],
    ['limits: { lowest: 0 °C, hi| }', 'key of limits: hi'],
    ['stages:\n  - stage: One\n    until: { gravity: { ab|', 'key of stages > - > until > gravity: ab'],
    [
      'stages:\n  - { stage: One, until: { any: [ { beer: { at most: 2|',
      'value of stages > - > until > any > - > beer > at most: 2',
    ],
    ['stages:\n  - until: { any: [ |', 'either of stages > - > until > any > -: '],
    [
      'stages:\n  - until: { any: [ stage lasted: |',
      'value of stages > - > until > any > - > stage lasted: ',
    ],
    [
      'stages:\n  - until: { any: [ stage lasted: 3 d, since |',
      'either of stages > - > until > any > -: since ',
    ],
    ['limits: {\n  lowest: 0 °C,\n  |', 'key of limits: '],
    ['limits: {\n  lowest: 0 °C, # cold\n  hi|', 'key of limits: hi'],
    ['limits: { if broken: "a, b: {", |', 'key of limits: '],
    ['date: { from: 2026-12-01T18:|', 'value of date > from: 2026-12-01T18:'],
  ])('%j', (text, expected) => expect(at(text)).toBe(expected))

  test('a bracket that nobody has closed does not swallow the rest', () => {
    expect(at('limits: { lowest: 0 °C\nside: |')).toBe('value of side: ')
    expect(at('stages:\n  - stage: One\n    until: { gravity: {\n    at most: |')).toBe(
      'value of stages > - > at most: ',
    )
    expect(at('stages:\n  - until: { gravity: [\n  - stage: |')).toBe('value of stages > - > stage: ')
  })
})

test('nothing is offered in comments and in texts of several lines', () => {
  for (const text of ['# |', 'plan: Ale # |', 'limits: { # |', 'a: |', 'plan: "in quotation|'])
    expect([text, at(text)]).toEqual([
      text,
      text === 'a: |' ? 'value of a: ' : text.includes('"') ? 'value of plan: "in quotation' : null,
    ])
  expect(contextAt('plan: |-\n  first\n  second', 18)).toBeNull()
})

test('the keys that a mapping has already are told, before the cursor and behind it', () => {
  const taken = (text: string) => contextAt(text.replace('|', ''), text.indexOf('|'))?.taken
  expect(taken('plan: A\n|\nstages:\n  - stage: One\n')).toEqual(['plan', 'stages'])
  expect(taken('stages:\n  - stage: One\n    |\n    until: { beer: {} }\n  - hold: 1')).toEqual([
    'stage',
    'until',
  ])
  expect(taken('limits: { lowest: 0 °C, |, if broken: hold }')).toEqual(['lowest', 'if broken'])
})
