import { expect, test } from 'vitest'
import { sinceWords } from './unknown-since.ts'

const local_ms = (text: string) => new Date(text).getTime()

test('since when nothing is known is told by the clock, and by the day when it was another', () => {
  const heard_ms = local_ms('2026-12-04T13:27:31')
  expect(sinceWords(heard_ms, local_ms('2026-12-04T13:40:00'), { clock: '24 h' })).toBe('since 13:27')
  expect(sinceWords(heard_ms, local_ms('2026-12-04T13:40:00'), { clock: '12 h' })).toBe('since 1:27 pm')
  expect(sinceWords(heard_ms, local_ms('2026-12-05T00:10:00'), { clock: '24 h' })).toBe(
    'since 13:27 on 4 December',
  )
})
