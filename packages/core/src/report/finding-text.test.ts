import { describe, expect, test } from 'vitest'
import type { Finding } from '../finding.ts'
import { findingsSummary, findingText } from './finding-text.ts'
import { widthOf } from './text/width.ts'

const plain = { width: 80, heading: (text: string) => text }

function found(changes: Partial<Finding>): Finding {
  return {
    severity: 'error',
    code: 'unit',
    file: 'a.plan.yaml',
    line: 2,
    column: 9,
    length: 9,
    message: 'A gravity can not be 10 pionts.',
    cure: 'Write 10 points.',
    ...changes,
  }
}

/** The part of the quoted line above the carets. */
function underlined(text: string): string {
  const lines = text.split('\n')
  const caretLine = lines.findIndex(line => /│ +\^+$|│ \^+$/.test(line))
  const carets = lines[caretLine]!
  const from = carets.indexOf('^')
  let marked = ''
  let column = 0
  for (const character of lines[caretLine - 1]!) {
    if (column >= from && column < carets.length) marked += character
    column += widthOf(character)
  }
  return marked
}

describe('a finding as text', () => {
  test('names place, severity and code, and underlines exactly what is meant', () => {
    const text = findingText(found({}), 'plan: X\n  until: 10 pionts # soon\n', plain)
    expect(text.split('\n')[0]).toBe('a.plan.yaml:2:9: error unit')
    expect(
      underlined(findingText(found({ column: 10 }), 'plan: X\n  until: 10 pionts # soon\n', plain)),
    ).toBe('10 pionts')
    expect(text).toContain('A gravity can not be 10 pionts.')
    expect(text).toContain('Cure: Write 10 points.')
  })

  test('keeps the underline in place behind tabs and wide characters', () => {
    const tabs = findingText(found({ line: 1, column: 6, length: 3 }), '\tab: xyz', plain)
    expect(underlined(tabs)).toBe('xyz')
    const wide = findingText(
      found({ line: 1, column: 6, length: 3 }),
      '麦酒: \txyz'.replace('\t', ' '),
      plain,
    )
    expect(underlined(wide)).toBe('xyz')
  })

  test('shows the part around the place when the line is longer than the terminal', () => {
    const line = `${'a'.repeat(300)}WRONG${'b'.repeat(300)}`
    const text = findingText(found({ line: 1, column: 301, length: 5 }), line, { ...plain, width: 60 })
    expect(underlined(text)).toBe('WRONG')
    for (const each of text.split('\n')) expect(widthOf(each)).toBeLessThanOrEqual(60)
  })

  test('does without the source, and without the line that it does not have', () => {
    expect(findingText(found({}), undefined, plain)).not.toContain('│')
    expect(findingText(found({ line: 99 }), 'one line', plain)).not.toContain('│')
  })

  test('can not be used to send control codes to the terminal', () => {
    const text = findingText(found({ line: 1, column: 1, length: 1 }), 'a\u001b[31m red', plain)
    expect(text).not.toContain('\u001b')
  })
})

test('the summary counts by severity and says whether a batch may start', () => {
  expect(findingsSummary([])).toBe('Nothing found.')
  expect(findingsSummary([found({}), found({ severity: 'note' }), found({ severity: 'note' })])).toBe(
    '1 error, 2 notes: this plan should not be started.',
  )
  expect(findingsSummary([found({ severity: 'warning' })])).toBe('1 warning: nothing that stops a start.')
  const verdicts = { withErrors: 'nothing was changed', without: 'all is well' }
  expect(findingsSummary([found({})], verdicts)).toBe('1 error: nothing was changed.')
})
