import { expect, test } from 'vitest'
import { noiseAt, streamKey, uniform, uniformAt } from './hash-noise.ts'

const COUNT = 200_000

test('a pure function of seed, stream and k', () => {
  expect(uniform(1, 2, 3)).toBe(uniform(1, 2, 3))
  expect(uniform(1, 2, 3)).toBe(uniformAt(streamKey(1, 2), 3))
  const different = new Set([
    uniform(1, 2, 3),
    uniform(2, 2, 3),
    uniform(1, 3, 3),
    uniform(1, 2, 4),
    uniform(2, 1, 3),
  ])
  expect(different.size).toBe(5)
})

test('uniform: chi-square over 64 cells, neighbours and streams uncorrelated', () => {
  for (let stream = 0; stream < 8; stream++) {
    const key = streamKey(42, stream)
    const other = streamKey(42, stream + 1)
    const cells = new Array<number>(64).fill(0)
    let neighbours = 0
    let streams = 0
    for (let k = 0; k < COUNT; k++) {
      const value = uniformAt(key, k)
      cells[Math.floor(64 * value)]!++
      neighbours += (value - 0.5) * (uniformAt(key, k + 1) - 0.5)
      streams += (value - 0.5) * (uniformAt(other, k) - 0.5)
    }
    const expected = COUNT / 64
    const chiSquare = cells.reduce((sum, cell) => sum + (cell - expected) ** 2 / expected, 0)
    // 63 degrees of freedom: 0.1 % lie above 103.4 and 0.1 % below 33.
    expect(chiSquare).toBeLessThan(104)
    expect(chiSquare).toBeGreaterThan(32)
    // Standard deviation of a correlation: 1 / sqrt(COUNT) = 0.0022.
    expect(Math.abs((12 * neighbours) / COUNT)).toBeLessThan(0.009)
    expect(Math.abs((12 * streams) / COUNT)).toBeLessThan(0.009)
  }
})

test('noise: mean 0, standard deviation 1, never outside 3, kurtosis of three uniforms', () => {
  const key = streamKey(7, 1)
  let sum = 0
  let squares = 0
  let fourths = 0
  let most = 0
  for (let k = 0; k < COUNT; k++) {
    const value = noiseAt(key, k)
    sum += value
    squares += value * value
    fourths += value ** 4
    most = Math.max(most, Math.abs(value))
  }
  expect(Math.abs(sum / COUNT)).toBeLessThan(0.01)
  expect(squares / COUNT).toBeCloseTo(1, 1)
  // Irwin-Hall with n = 3: excess kurtosis -6 / (5 n) = -0.4.
  expect(fourths / COUNT).toBeCloseTo(2.6, 1)
  expect(most).toBeLessThan(3)
  expect(most).toBeGreaterThan(2.7)
})
