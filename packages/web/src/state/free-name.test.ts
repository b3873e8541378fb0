import { expect, test } from 'vitest'
import { freeName } from './free-name.ts'

test('a name that is taken gets the next number that is free', () => {
  expect(freeName('Amber ale', [])).toBe('Amber ale')
  expect(freeName('Amber ale', ['Amber ale'])).toBe('Amber ale 2')
  expect(freeName('Amber ale 2', ['Amber ale', 'Amber ale 2', 'Amber ale 3'])).toBe('Amber ale 4')
})
