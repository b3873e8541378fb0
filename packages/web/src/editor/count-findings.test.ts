import { expect, test } from 'vitest'
import { countFindings } from './count-findings.ts'

const of = (...severities: ('error' | 'warning' | 'note')[]) =>
  countFindings(severities.map(severity => ({ severity })))

test('findings are counted, the gravest first', () => {
  expect(of()).toBe('Nothing found that is wrong.')
  expect(of('error')).toBe('1 error.')
  expect(of('note', 'error', 'note')).toBe('1 error and 2 notes.')
  expect(of('note', 'warning', 'warning', 'error')).toBe('1 error, 2 warnings and 1 note.')
})
