import { expect, test } from 'vitest'
import { smallBeer } from '../engine/testing/small-house.ts'
import { drawFor } from '../random/draw.ts'
import { drawWort } from './wort.ts'

test('a beer whose original gravity is not said to be uncertain is as it is', () => {
  const beer = smallBeer()
  expect(drawWort(beer, drawFor(1, 1))).toBe(beer)
})

test('an uncertain one is drawn, and attenuates as far', () => {
  const beer = smallBeer({ originalGravitySd_SG: 0.004 })
  const drawn = Array.from({ length: 400 }, (_, run) => drawWort(beer, drawFor(1, run)))
  const errors = drawn.map(({ originalGravity }) => originalGravity - 1.05)
  const sd = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length)
  // Of 400 draws the standard deviation is known to about 4 %; cutting off at three of them takes 1 % away.
  expect(sd).toBeGreaterThan(0.0035)
  expect(sd).toBeLessThan(0.0045)
  for (const { originalGravity, finalGravity } of drawn) {
    expect((originalGravity - finalGravity.value) / (originalGravity - 1)).toBeCloseTo(0.038 / 0.05, 9)
  }
})
