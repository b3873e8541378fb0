import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import { type Columns, decodeBlock, encodeBlock, HOUR_MS } from './block.ts'

const HOUR = 497_222

function columns(
  at: readonly number[],
  values: readonly number[],
  statuses: readonly number[] = [],
): Columns {
  return {
    at_ms: Float64Array.from(at, offset => HOUR * HOUR_MS + offset),
    values: Float64Array.from(values),
    statuses: Uint8Array.from(at, (_, i) => statuses[i] ?? 0),
  }
}

const VALUE = fc.oneof(
  fc.integer({ min: -30_000, max: 30_000 }).map(steps => steps / 100),
  fc.integer({ min: -(2 ** 52), max: 2 ** 52 }),
  fc.double(),
)

const ROWS = fc.uniqueArray(
  fc.record({
    at: fc.integer({ min: 0, max: HOUR_MS - 1 }),
    value: VALUE,
    status: fc.integer({ min: 0, max: 2 }),
  }),
  { minLength: 1, selector: row => row.at },
)

describe('an hour of readings as bytes', () => {
  test('comes back bit by bit', ({ task }) => {
    judge(task, { cases: 300 }, [ROWS, fc.boolean()], (rows, isOnGrid) => {
      const sorted = [...rows].sort((a, b) => a.at - b.at)
      const given = columns(
        sorted.map(row => row.at),
        // A decimal grid has no -0; the store turns it into 0 before it comes here.
        sorted.map(row => (isOnGrid ? Math.round((row.value || 0) % 1e6) / 100 + 0 : row.value + 0)),
        sorted.map(row => row.status),
      )
      const found = decodeBlock(HOUR, encodeBlock(HOUR, given))
      expect(found.at_ms).toEqual(given.at_ms)
      expect(Buffer.from(found.values.buffer)).toEqual(Buffer.from(given.values.buffer))
      expect(found.statuses).toEqual(given.statuses)
    })
  })

  test('hundredths of a degree every second take about half a byte each, any float64 less than 8.1', () => {
    const seconds = Array.from({ length: 3600 }, (_, i) => i * 1000)
    const steady = encodeBlock(
      HOUR,
      columns(
        seconds,
        seconds.map(at => Math.round(1800 + at / 1e5) / 100),
      ),
    )
    expect(steady.length / 3600).toBeLessThan(0.5)
    const anything = encodeBlock(
      HOUR,
      columns(
        seconds,
        seconds.map(at => Math.sin(at)),
      ),
    )
    expect(anything.length / 3600).toBeLessThan(8.1)
  })

  test('a changed byte anywhere is noticed', () => {
    const block = encodeBlock(HOUR, columns([0, 1000, 2500], [18.01, 18.02, 1 / 3], [0, 1, 2]))
    block.forEach((byte, i) => {
      const changed = block.slice()
      changed[i] = byte ^ 0x10
      expect(() => decodeBlock(HOUR, changed), `byte ${i}`).toThrow()
    })
    for (let length = 0; length < block.length; length++) {
      expect(() => decodeBlock(HOUR, block.slice(0, length)), `cut to ${length}`).toThrow()
    }
  })

  test('the bytes of layout 1 stay readable: a block written on 2026-11-24', () => {
    const block = Buffer.from('01001eadf3be040200d00f00e8079c1c020300000201010201', 'hex')
    expect(decodeBlock(HOUR, block)).toEqual(
      columns([0, 1000, 2000, 3500], [18.06, 18.07, 18.05, 18.05], [0, 0, 1, 2]),
    )
  })
})
