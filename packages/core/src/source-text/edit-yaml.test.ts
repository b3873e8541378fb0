import { describe, expect, test } from 'vitest'
import {
  insertItem,
  moveItem,
  removeItem,
  removePair,
  repeatItem,
  replacePair,
  setValue,
} from './edit-yaml.ts'

const BLOCK = `# Of the whole.
plan: Ale   # said aloud

stages:
  # First of all.
  - stage: One
    hold: 18 °C  # not warmer
    # at most: 9 d

  # Then this.
  - stage: Two
    ramp:
      to: 21 °C
      over: 3 d
  - stage: Three
    hold: "2 °C"
# The end.
`

const FLOW = `plan: Ale
stages: [ { stage: One, hold: 18 °C }, # first
  { stage: Two, hold: 20 °C },
  { stage: Three, hold: 2 °C } ]
`

describe('an item is moved', () => {
  test('with its comments, while the empty lines stay', () => {
    expect(moveItem(BLOCK, ['stages'], 0, 1)).toBe(`# Of the whole.
plan: Ale   # said aloud

stages:
  # Then this.
  - stage: Two
    ramp:
      to: 21 °C
      over: 3 d

  # First of all.
  - stage: One
    hold: 18 °C  # not warmer
    # at most: 9 d
  - stage: Three
    hold: "2 °C"
# The end.
`)
  })

  test('to the end and to the beginning', () => {
    expect(moveItem(BLOCK, ['stages'], 0, 2)).toContain(
      '    hold: "2 °C"\n  # First of all.\n  - stage: One\n    hold: 18 °C  # not warmer\n    # at most: 9 d\n# The end.\n',
    )
    expect(moveItem(BLOCK, ['stages'], 2, 0)).toContain(
      'stages:\n  - stage: Three\n    hold: "2 °C"\n\n  # First of all.\n  - stage: One',
    )
  })

  test('and back, which gives the same text again', () => {
    for (const text of [BLOCK, FLOW])
      for (const [from, to] of [
        [0, 1],
        [0, 2],
        [1, 2],
      ] as const)
        expect(moveItem(moveItem(text, ['stages'], from, to)!, ['stages'], to, from)).toBe(text)
  })

  test('in brackets', () => {
    expect(moveItem(FLOW, ['stages'], 2, 0)).toBe(`plan: Ale
stages: [ { stage: Three, hold: 2 °C }, # first
  { stage: One, hold: 18 °C },
  { stage: Two, hold: 20 °C } ]
`)
  })

  test('at the left edge, with line ends of another system, and without a last line end', () => {
    expect(moveItem('stages:\r\n- a: 1\r\n\r\n# b\r\n- b: 1', ['stages'], 1, 0)).toBe(
      'stages:\r\n# b\r\n- b: 1\r\n\r\n- a: 1',
    )
  })

  test('not when an alias would then stand before its anchor', () => {
    expect(moveItem('list:\n  - &a { x: 1 }\n  - *a\n', ['list'], 1, 0)).toBeNull()
  })

  test('not in a text that is no YAML, and not where nothing stands', () => {
    expect(moveItem('stages: [ { a: 1 ', ['stages'], 0, 1)).toBeNull()
    expect(moveItem(BLOCK, ['stages'], 0, 3)).toBeNull()
    expect(moveItem(BLOCK, ['plan'], 0, 1)).toBeNull()
  })
})

describe('a value is written', () => {
  test('in its place, with the comment behind it kept', () => {
    expect(setValue(BLOCK, ['stages', 0, 'hold'], '19 °C', [])).toBe(
      BLOCK.replace('18 °C  # not', '19 °C  # not'),
    )
    expect(setValue(BLOCK, ['stages', 1, 'ramp', 'over'], '2 d', [])).toBe(
      BLOCK.replace('over: 3 d', 'over: 2 d'),
    )
    expect(setValue(FLOW, ['stages', 1, 'hold'], '21 °C', [])).toBe(FLOW.replace('20 °C', '21 °C'))
  })

  test('in the quotation marks in which it stood', () => {
    expect(setValue(BLOCK, ['stages', 2, 'hold'], '3 °C', [])).toBe(BLOCK.replace('"2 °C"', '"3 °C"'))
  })

  test('instead of lines of its own', () => {
    expect(setValue(BLOCK, ['stages', 1, 'ramp'], '{ to: 5 °C, over: 1 d }', [])).toBe(
      BLOCK.replace('ramp:\n      to: 21 °C\n      over: 3 d', 'ramp: { to: 5 °C, over: 1 d }'),
    )
  })

  test('under a new key, behind those that come before it', () => {
    const order = ['stage', 'hold', 'ramp', 'until', 'at most']
    expect(setValue(BLOCK, ['stages', 0, 'at most'], '9 d', order)).toBe(
      BLOCK.replace('# not warmer\n', '# not warmer\n    at most: 9 d\n'),
    )
    expect(setValue(BLOCK, ['stages', 1, 'until'], '{ stage lasted: 3 d }', order)).toBe(
      BLOCK.replace('over: 3 d\n', 'over: 3 d\n    until: { stage lasted: 3 d }\n'),
    )
    expect(setValue(FLOW, ['stages', 0, 'at most'], '9 d', order)).toBe(
      FLOW.replace('18 °C }', '18 °C, at most: 9 d }'),
    )
    expect(setValue('a: {}\n', ['a', 'b'], '1', [])).toBe('a: { b: 1 }\n')
  })

  test('behind a key that has none yet', () => {
    expect(setValue('a:  # what?\nb: 1\n', ['a'], '2', [])).toBe('a: 2  # what?\nb: 1\n')
  })

  test('as an item of a list', () => {
    expect(setValue('tasks:\n  - Hops # dry\n  - Yeast\n', ['tasks', 0], 'More hops', [])).toBe(
      'tasks:\n  - More hops # dry\n  - Yeast\n',
    )
  })

  test('not where an alias stands for what is used elsewhere as well', () => {
    expect(setValue('a: &x { b: 1 }\nc: *x\n', ['c', 'b'], '2', [])).toBeNull()
    // Changing what the anchor names would change both.
    expect(setValue('a: &x { b: 1 }\nc: *x\n', ['a', 'b'], '2', [])).toBeNull()
  })

  test('not when it is no YAML itself', () => {
    expect(setValue(BLOCK, ['plan'], '{ a', [])).toBeNull()
    expect(setValue(FLOW, ['stages', 0, 'hold'], '1, 2', [])).toBeNull()
  })
})

describe('a key', () => {
  test('is exchanged with its value', () => {
    expect(replacePair(BLOCK, ['stages', 0, 'hold'], 'free rise', '{ to: 24 °C }')).toBe(
      BLOCK.replace('hold: 18 °C', 'free rise: { to: 24 °C }'),
    )
    expect(replacePair(BLOCK, ['stages', 1, 'ramp'], 'hold', '20 °C')).toBe(
      BLOCK.replace('ramp:\n      to: 21 °C\n      over: 3 d', 'hold: 20 °C'),
    )
  })

  test('is taken out', () => {
    expect(removePair(BLOCK, ['stages', 1, 'ramp'])).toBe(
      BLOCK.replace('    ramp:\n      to: 21 °C\n      over: 3 d\n', ''),
    )
    expect(removePair(BLOCK, ['stages', 1, 'ramp', 'over'])).toBe(BLOCK.replace('      over: 3 d\n', ''))
    expect(removePair(FLOW, ['stages', 1, 'hold'])).toBe(FLOW.replace(', hold: 20 °C', ''))
    expect(removePair(FLOW, ['stages', 1, 'stage'])).toBe(FLOW.replace('stage: Two, ', ''))
    expect(removePair(BLOCK, ['stages', 2, 'stage'])).toBe(BLOCK.replace('stage: Three\n    ', ''))
  })

  test('is not taken out when it is the only one', () => {
    expect(removePair('a: { b: 1 }\n', ['a', 'b'])).toBeNull()
  })
})

describe('an item is added', () => {
  const item = { inline: '{ stage: New, hold: 20 °C }', lines: ['stage: New', 'hold: 20 °C'] }

  test('with as many empty lines as stand between the others', () => {
    expect(insertItem(BLOCK, ['stages'], 1, item)).toContain(
      '    # at most: 9 d\n\n  - stage: New\n    hold: 20 °C\n\n  # Then this.',
    )
    expect(insertItem(BLOCK, ['stages'], 3, item)).toContain(
      '    hold: "2 °C"\n  - stage: New\n    hold: 20 °C\n# The end.\n',
    )
    expect(insertItem(BLOCK, ['stages'], 0, item)).toContain(
      'stages:\n  - stage: New\n    hold: 20 °C\n\n  # First of all.',
    )
  })

  test('in brackets', () => {
    expect(insertItem(FLOW, ['stages'], 3, item)).toBe(
      FLOW.replace('2 °C } ]', '2 °C },\n  { stage: New, hold: 20 °C } ]'),
    )
  })

  test('to a list that is empty', () => {
    for (const empty of ['stages:\nb: 1\n', 'stages: []\nb: 1\n'])
      expect(insertItem(empty, ['stages'], 0, item)).toBe('stages:\n  - stage: New\n    hold: 20 °C\nb: 1\n')
    expect(insertItem('a: { tasks: [] }\n', ['a', 'tasks'], 0, { inline: 'Hops', lines: ['Hops'] })).toBe(
      'a: { tasks: [ Hops ] }\n',
    )
  })
})

describe('an item is taken out or repeated', () => {
  test('with its comments', () => {
    expect(removeItem(BLOCK, ['stages'], 0)).toBe(BLOCK.replace(/ {2}# First of all[\s\S]*?\n\n/, ''))
    expect(removeItem(BLOCK, ['stages'], 2)).toBe(BLOCK.replace('  - stage: Three\n    hold: "2 °C"\n', ''))
    expect(removeItem(FLOW, ['stages'], 2)).toBe(FLOW.replace(',\n  { stage: Three, hold: 2 °C }', ''))
  })

  test('but not comments that belong to neither', () => {
    const text = 'list:\n  - a\n\n  # --- the others ---\n\n  - b\n  - c\n'
    expect(removeItem(text, ['list'], 1)).toContain('# --- the others ---')
  })

  test('not the only one', () => {
    expect(removeItem('list: [ a ]\n', ['list'], 0)).toBeNull()
  })

  test('a copy follows the original', () => {
    expect(repeatItem(BLOCK, ['stages'], 0)).toContain(
      '    # at most: 9 d\n\n  # First of all.\n  - stage: One\n    hold: 18 °C  # not warmer\n    # at most: 9 d\n\n  # Then this.',
    )
    expect(repeatItem(FLOW, ['stages'], 1)).toContain(
      '{ stage: Two, hold: 20 °C },\n  { stage: Two, hold: 20 °C },\n  { stage: Three',
    )
  })
})
