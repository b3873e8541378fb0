import { expect, test } from 'vitest'
import { joinColumns, type Table } from './join-columns.ts'
import { placesOf, readingAt } from './reading-at.ts'

const NOTHING: Table = { x: [], columns: [[], [], [], [], []] }

/** Measured every ten minutes; the target ramps from 20 to 4 in an hour, with nothing but its two corners. */
const joined = joinColumns([
  {
    x: [0, 600, 1200, 1800],
    columns: [
      [20, 19, 18, null],
      [19.9, 18.9, 17.9, null],
      [20.1, 19.1, 18.1, null],
    ],
  },
  { x: [0, 3600], columns: [[20, 4]] },
  { x: [900], columns: [[19.5]] },
  NOTHING,
])
const at = (x: number) => readingAt(joined, joined.x.indexOf(x))

// Half way down a ramp, pointing at the chart told the target of its beginning.
test('on a ramp the target is where its line runs, not its last corner', () => {
  expect(at(0).target).toBe(20)
  expect(at(900).target).toBe(16)
  expect(at(1800).target).toBe(12)
  expect(at(3600).target).toBe(4)
})

test('what was measured is what was heard last; a silence is nothing, and so is what comes after it', () => {
  expect(at(900)).toMatchObject({ mean: 19, least: 18.9, greatest: 19.1, byHand: 19.5 })
  expect(at(1800)).toMatchObject({ mean: null, byHand: null })
  expect(at(3600).mean).toBeNull()
  expect(at(600)).toMatchObject({ p5: null, p50: null, p95: null })
})

test('where a target ends there is none', () => {
  const ended = joinColumns([
    {
      x: [0, 10],
      columns: [
        [1, 1],
        [1, 1],
        [1, 1],
      ],
    },
    { x: [0, 4, 5], columns: [[20, 20, null]] },
    { x: [], columns: [[]] },
    NOTHING,
  ])
  expect(readingAt(ended, ended.x.indexOf(4)).target).toBe(20)
  expect(readingAt(ended, ended.x.indexOf(10)).target).toBeNull()
})

test('a table has a row for each place in sight, or as many as have room, spread over the time', () => {
  const x = Array.from({ length: 1000 }, (_, n) => n)
  expect(placesOf(x, 10, 13, 24)).toEqual([10, 11, 12, 13])
  const places = placesOf(x, 0, 999, 10)
  expect(places).toHaveLength(10)
  expect(places[0]).toBe(50)
  expect(places.at(-1)).toBe(949)
  expect(placesOf([], 0, 10, 5)).toEqual([])
})
