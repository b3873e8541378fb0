import { expect, test } from 'vitest'
import { isSilent, SILENCE_ms } from './silence.ts'

const heard = { running_ms: 1000, wall_ms: 5_000_000 }

test('a cellar of which nothing was heard for longer than it is ever silent is out of reach', () => {
  const after = (ms: number) => ({ running_ms: heard.running_ms + ms, wall_ms: heard.wall_ms + ms })
  expect(isSilent(heard, after(3000))).toBe(false)
  expect(isSilent(heard, after(SILENCE_ms))).toBe(false)
  expect(isSilent(heard, after(SILENCE_ms + 1))).toBe(true)
})

test('a machine whose running clock stood still while it slept notices by the wall clock', () => {
  expect(isSilent(heard, { running_ms: heard.running_ms + 10, wall_ms: heard.wall_ms + 3_600_000 })).toBe(
    true,
  )
})

test('a wall clock that is set back while the cellar speaks is no silence', () => {
  expect(isSilent(heard, { running_ms: heard.running_ms + 10, wall_ms: heard.wall_ms - 3_600_000 })).toBe(
    false,
  )
})
