import { expect, test } from 'vitest'
import { drawFor, runSeed } from './draw.ts'

test('run n of a seed is the same whatever was drawn before', () => {
  const alone = drawFor(5, 17)
  drawFor(5, 16).normal()
  const again = drawFor(5, 17)
  for (let n = 0; n < 50; n++) expect(again.normal()).toBe(alone.normal())
  const seeds = new Set(Array.from({ length: 10_000 }, (_, run) => runSeed(5, run)))
  expect(seeds.size).toBe(10_000)
})

test('normal draws: mean, standard deviation, cut off at 3; exponential with mean 1', () => {
  const draw = drawFor(1, 0)
  const values = Array.from({ length: 40_000 }, () => draw.normal())
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length
  expect(Math.abs(mean)).toBeLessThan(0.02)
  // Truncated at 3: variance 1 - 6 phi(3) / (2 Phi(3) - 1) = 0.9733.
  expect(Math.abs(variance - 0.9733)).toBeLessThan(0.03)
  expect(Math.max(...values.map(Math.abs))).toBeLessThanOrEqual(3)
  const waits = Array.from({ length: 40_000 }, () => draw.exponential())
  expect(Math.abs(waits.reduce((sum, value) => sum + value, 0) / waits.length - 1)).toBeLessThan(0.03)
})
