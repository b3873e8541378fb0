import { expect, test } from 'vitest'
import { couldStill, sayBound } from './enough-runs.ts'

// The definition: with that share, the chance that n runs show none of it is just 5 %.
test.each([1, 3, 15, 20, 200])('what none of %d runs suffered could still happen in so many', runs => {
  expect((1 - couldStill(runs)) ** runs).toBeCloseTo(0.05, 10)
})

test('the bound comes near to the rule of three when there are many runs', () => {
  expect(couldStill(200)).toBeCloseTo(3 / 200, 3)
  expect(couldStill(0)).toBe(1)
  expect([15, 20, 200].map(runs => sayBound(couldStill(runs)))).toEqual(['18 %', '14 %', '1.5 %'])
})
