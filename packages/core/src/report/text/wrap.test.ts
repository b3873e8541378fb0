import { expect, it } from 'vitest'
import { wrap } from './wrap.ts'

it('breaks at spaces, but not between a number and its unit', () => {
  expect(wrap('Probe reads 3.9 °C and Float 3.7 °C.', 32)).toEqual([
    'Probe reads 3.9 °C and Float',
    '3.7 °C.',
  ])
  expect(wrap('The beer is at 3.9 °C.', 18)).toEqual(['The beer is at', '3.9 °C.'])
  expect(wrap('Up to 1.5 % of all', 9)).toEqual(['Up to', '1.5 % of', 'all'])
  expect(wrap('Of 200 drinkers', 8)).toEqual(['Of 200', 'drinkers'])
})
