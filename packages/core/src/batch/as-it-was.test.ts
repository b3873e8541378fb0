import { expect, test } from 'vitest'
import { asItWas } from './as-it-was.ts'

test('how it was then does not promise that all is well now', () => {
  expect(asItWas('Amber ale: in Primary for 2 days, 19.4 °C; all is well.')).toBe(
    'Amber ale: in Primary for 2 days, 19.4 °C.',
  )
})
