import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { expect, test } from 'vitest'
import { sayOtherDay, startingAt } from './batch-start.ts'
import { exampleTexts } from './examples.ts'

const now_s = Date.UTC(2026, 11, 6, 13, 27, 31) / 1000

// The example's date stayed in the text: rehearsed for the 12th of December, and started on the 6th.
test('a text that is started starts now, and is otherwise the same', async () => {
  const beer = 'beer: Amber ale\nstart: 2026-12-12T18:00  # a Saturday\nvolume: 20 L\n'
  expect(startingAt(beer, now_s)).toBe(
    'beer: Amber ale\nstart: 2026-12-06T13:27  # a Saturday\nvolume: 20 L\n',
  )
})

test('an example starts within the next hour', async () => {
  const { beer } = (await exampleTexts('amber-ale', now_s))!
  expect(readBeer(beer, 'beer').beer!.start.text).toBe('2026-12-06T14:00')
})

test('another day than today is said, and that it is past', () => {
  expect(sayOtherDay(now_s + 3600, now_s)).toBeNull()
  expect(sayOtherDay(now_s + 6 * 86_400, now_s)).toBe('It is rehearsed for a start on 12 December 2026.')
  expect(sayOtherDay(now_s - 2 * 86_400, now_s)).toBe(
    'It is rehearsed for a start on 4 December 2026, which is past.',
  )
})
