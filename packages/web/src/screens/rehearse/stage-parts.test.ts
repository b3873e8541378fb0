import { stagesInText } from '@attemper/core/plan/stages-in-text.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { expect, test } from 'vitest'
import { courseKeys, meaningOf, partOf, tasksOf, textOf, valuesOf } from './stage-parts.ts'

const [stage] = stagesInText(
  `plan: A
stages:
  - stage: One
    ramp: { to: 18 °C, over: 3 d }
    until:
      all:
        - gravity: { steady within: 1 point, for: 48 h }
        - not: { beer: { at most: 2 °C }, lasting: 3 h }
    at most: 9 d
    tasks:
      - Hops
      - { task: Taste, when: { stage lasted: 3 d }, wait: yes }
`,
  USUAL_UNITS,
)!

test('the single values of a part have their keys as words', () => {
  expect(valuesOf(stage!, 'ramp').map(({ label, text }) => `${label}: ${text}`)).toEqual([
    'to: 18 °C',
    'over: 3 d',
  ])
  expect(valuesOf(stage!, 'until').map(({ label, text }) => `${label}: ${text}`)).toEqual([
    'gravity steady within: 1 point',
    'gravity for: 48 h',
    'not beer at most: 2 °C',
    'not lasting: 3 h',
  ])
  expect(valuesOf(stage!, 'until')[0]).toMatchObject({
    path: ['until', 'all', 0, 'gravity', 'steady within'],
    schemas: [{ title: 'gravity difference' }],
  })
  expect(valuesOf(stage!, 'at most')).toMatchObject([{ label: 'at most', text: '9 d', path: ['at most'] }])
  expect(valuesOf(stage!, 'control')).toEqual([])
})

test('a text behind keys, or nothing', () => {
  expect(textOf(stage!, 'ramp', 'to')).toBe('18 °C')
  expect(textOf(stage!, 'at most')).toBe('9 d')
  expect(textOf(stage!, 'until')).toBe('')
  expect(partOf(stage!, 'branches')).toBeUndefined()
})

test('tasks, however they are written', () => {
  expect(tasksOf(stage!)).toEqual([
    { index: 0, name: 'Hops', line: 11, waits: false, hasCondition: false, isMapping: false },
    { index: 1, name: 'Taste', line: 12, waits: true, hasCondition: true, isMapping: true },
  ])
})

test('the courses of a stage come from the schema', () => {
  expect(courseKeys).toEqual(['hold', 'rest', 'ramp', 'free rise', 'leave alone', 'boil'])
  expect(meaningOf('hold')).toBe('Keeps the beer at this temperature.')
})
