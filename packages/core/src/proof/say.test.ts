import { expect, test } from 'vitest'
import { USUAL_UNITS } from '../units/display.ts'
import { sayIn, sayList } from './say.ts'

const say = sayIn(USUAL_UNITS)

test.each([
  [5, '5 s'],
  [130, '130 s'],
  [120, '2 min'],
  [1800, '30 min'],
  [3600, '1 h'],
  [5400, '90 min'],
  [45_000, '12.5 h'],
  [172_800, '48 h'],
  [864_000, '10 d'],
  [Number.POSITIVE_INFINITY, 'for ever'],
] as const)('%d s', (time_s, text) => {
  expect(say.time(time_s)).toBe(text)
})

test('lists', () => {
  expect(sayList(["'A'"])).toBe("'A'")
  expect(sayList(["'A'", "'B'", "'C'"])).toBe("'A', 'B' and 'C'")
})

test('values and differences in the unit of their quantity', () => {
  expect(say.value('beer', -0.04)).toBe('0 °C')
  expect(say.value('gravity', 1.01)).toBe('1.010')
  expect(say.step('gravity', 0.000712)).toBe('0.71 points')
  expect(say.value('pH', 4.4)).toBe('4.4')
})
