import { expect, it } from 'vitest'
import { wrap } from './wrap.ts'

it('breaks at spaces, but not between a number and its degrees', () => {
  expect(wrap('Probe reads 3.9 °C and Float 3.7 °C.', 32)).toEqual([
    'Probe reads 3.9 °C and Float',
    '3.7 °C.',
  ])
  expect(wrap('The beer is at 3.9 °C.', 18)).toEqual(['The beer is at', '3.9 °C.'])
})
