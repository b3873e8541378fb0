import { expect, it } from 'vitest'
import { episode } from './episode.ts'

it('tells the same story again for the same seed, and another for another', async () => {
  const marks: string[] = []
  for (const seed of [7, 7, 8]) marks.push((await episode(seed, { days: 5 })).mark)
  expect(marks[1]).toBe(marks[0])
  expect(marks[2]).not.toBe(marks[0])
})
