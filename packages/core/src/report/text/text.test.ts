import { describe, expect, test } from 'vitest'
import { fanPicture, timeAxis } from './fan-picture.ts'
import { tableText } from './table.ts'
import { digitsFor, niceTicks } from './ticks.ts'
import { widthOf } from './width.ts'
import { wrap } from './wrap.ts'

describe('width in columns', () => {
  // East Asian Width and combining marks: Unicode Standard Annex 11.
  test.each([
    ['abc', 3],
    ['°C é', 4],
    ['e\u0301', 1],
    ['麦酒', 4],
    ['🍺', 2],
    ['\tx', 9],
    ['abc\tx', 9],
  ])('%s', (text, width) => {
    expect(widthOf(text)).toBe(width)
  })
})

describe('wrapping', () => {
  test('never exceeds the width, and loses nothing but spaces', () => {
    const text = 'The float has been silent since day 4; averyveryverylongwordindeed follows.'
    for (const width of [1, 5, 12, 40, 200]) {
      const lines = wrap(text, width)
      for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width)
      expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''))
    }
  })
})

describe('tables', () => {
  const columns = [
    { title: 'stage', wraps: true },
    { title: 'day', align: 'right' as const },
  ]

  test('align numbers to the right, under their title', () => {
    expect(
      tableText(
        columns,
        [
          ['Primary', '0'],
          ['Crash', '11.5'],
        ],
        80,
      ).split('\n'),
    ).toEqual(['stage     day', '───────  ────', 'Primary     0', 'Crash    11.5'])
  })

  test('give way in the columns that may be wrapped', () => {
    const text = tableText(columns, [['A stage with a long name that goes on', '12.5']], 24)
    for (const line of text.split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(24)
    expect(text.replaceAll(/\s+/g, ' ')).toContain('A stage with a')
  })
})

describe('ticks', () => {
  test('are round, inside the range, and about as many as wanted', () => {
    expect(niceTicks(0.3, 21.4, 5)).toEqual([5, 10, 15, 20])
    expect(niceTicks(-4, 4, 4)).toEqual([-4, -2, 0, 2, 4])
    expect(digitsFor(niceTicks(1.01, 1.05, 4))).toBe(2)
    expect(niceTicks(5, 5, 4)).toEqual([5])
  })
})

describe('the picture of a fan', () => {
  const x = [0, 10, 20]
  const constant = (value: number) => [value, value, value]
  const flat = {
    rows: 4,
    width: 30,
    x,
    xFrom: 0,
    xTo: 20,
    fan: { p5: constant(10), p25: constant(14), p50: constant(15), p75: constant(16), p95: constant(20) },
  }

  test('has the rows and columns asked for', () => {
    const lines = fanPicture(flat).split('\n')
    expect(lines).toHaveLength(4)
    for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(30)
  })

  test('draws the median at its height, through the whole width', () => {
    const lines = fanPicture({
      ...flat,
      fan: { ...flat.fan, p5: constant(15), p25: constant(15), p75: constant(15), p95: constant(15) },
      dotted: constant(25),
    }).split('\n')
    const full = lines.filter(
      line => [...line.slice(8)].every(character => character >= '\u2800') && line.length === 30,
    )
    expect(full).toHaveLength(1)
    expect(lines.at(-1)).toBe(full[0])
  })

  test('leaves out what is not known', () => {
    const gap = {
      ...flat,
      fan: {
        p5: [null, null, null],
        p25: [null, null, null],
        p50: [15, null, null],
        p75: [null, null, null],
        p95: [null, null, null],
      },
    }
    const dots = [...fanPicture(gap)].filter(character => character > '\u2800' && character <= '\u28ff')
    expect(dots).toHaveLength(0)
  })

  test('says the unit of time at the first tick', () => {
    const [line, labels] = timeAxis(60, 0, 240, 'd', 24).split('\n')
    expect(line).toContain('┴')
    expect(labels).toContain('0 d')
    expect(labels).toContain('10')
  })
})
