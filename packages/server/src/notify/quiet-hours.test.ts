import { describe, expect, it } from 'vitest'
import { endOfQuiet } from './quiet-hours.ts'

const H = 3600
const DAY = 24 * H

describe('quiet hours', () => {
  const night = { from_s: 22 * H, to_s: 7 * H }
  const nap = { from_s: 13 * H, to_s: 15 * H }

  it.each([
    [night, 21 * H, 21 * H],
    [night, 22 * H, DAY + 7 * H],
    [night, 23.5 * H, DAY + 7 * H],
    [night, DAY, DAY + 7 * H],
    [night, 3 * H, 7 * H],
    [night, 7 * H, 7 * H],
    [night, 7 * H - 1, 7 * H],
    [night, 12 * H, 12 * H],
    [nap, 12 * H, 12 * H],
    [nap, 13 * H, 15 * H],
    [nap, 15 * H, 15 * H],
    [{ from_s: 20 * H, to_s: DAY }, 23 * H, DAY],
    [{ from_s: 0, to_s: DAY }, 3 * H, 3 * H],
    [null, 3 * H, 3 * H],
    [night, -1 * H, 7 * H],
  ])('%o at %d s let a message go at %d s', (quiet, at_s, expected_s) => {
    expect(endOfQuiet(quiet, at_s)).toBe(expected_s)
    expect(endOfQuiet(quiet, at_s + 20_000 * DAY)).toBe(expected_s + 20_000 * DAY)
  })
})
