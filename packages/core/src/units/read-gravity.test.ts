import { describe, expect, test } from 'vitest'
import { readGravityText } from './read-gravity.ts'

const value = (...of: Parameters<typeof readGravityText>) => {
  const read = readGravityText(...of)
  return read.ok ? read.value : read.problem.message
}

describe('what a refractometer shows', () => {
  // Worked example of a public forum page (2011) with the calculator of S. Terrill: 12.9 and 6.4 °Bx are 1.0501 and 1.0118.
  test.each(['6.4 °Bx', '6,4 Brix', '6.4bx', '6.4 BRIX'])('%s of a finished beer is no °P', text => {
    expect(value('12.9 °Bx', 'wort')).toBeCloseTo(1.0501, 4)
    expect(value(text, { beerFrom_SG: 1.0501 })).toBeCloseTo(1.0118, 4)
    // Taken for °P it would be 1.025, a beer that never finishes.
    expect(value('6.4 °P', { beerFrom_SG: 1.0501 })).toBeGreaterThan(1.025)
  })

  test('falls with the beer from the original gravity on, never up and never in a leap', () => {
    for (const original of [1.03, 1.05, 1.08, 1.1]) {
      // What the unfermented wort shows, and from there down in steps of the scale.
      let first = 0
      while (Number(value(`${first.toFixed(1)} °Bx`, 'wort')) < original) first += 0.1
      let before = Number(value(`${first.toFixed(1)} °Bx`, { beerFrom_SG: original }))
      expect(Math.abs(before - original)).toBeLessThan(0.001)
      for (let bx = first; bx > 0.5 * first; bx -= 0.1) {
        const now = Number(value(`${bx.toFixed(1)} °Bx`, { beerFrom_SG: original }))
        expect(now).toBeLessThanOrEqual(before + 6e-4)
        expect(before - now).toBeLessThan(0.0025)
        before = now
      }
      expect(before).toBeLessThan(original - 0.6 * (original - 1))
    }
  })

  test('is refused where the original gravity is not known, with the reason', () => {
    expect(value('6.4 °Bx', { beerFrom_SG: null })).toMatch(/reads the alcohol too/)
    expect(value('64 °Bx', 'wort')).toMatch(/more than wort can have/)
  })
})

test('a hydrometer is read as ever', () => {
  expect(value('1.012', { beerFrom_SG: null })).toBe(1.012)
  expect(value('3.1 °P', 'wort')).toBeCloseTo(1.0121, 4)
})
