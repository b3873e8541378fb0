import { expect, test } from 'vitest'
import { arrheniusTable, lookUp } from './arrhenius-table.ts'

test('within 1.5e-5 of the exponential between -10 and 110 °C, and constant beyond', () => {
  const rate = (temperature_K: number) => Math.exp(30 - 12000 / temperature_K)
  const tabulated = arrheniusTable(rate)
  for (let temperature_C = -10; temperature_C <= 110; temperature_C += 0.0137) {
    const exact = rate(temperature_C + 273.15)
    expect(Math.abs(lookUp(tabulated, temperature_C) / exact - 1)).toBeLessThan(1.5e-5)
  }
  expect(lookUp(tabulated, -40)).toBe(lookUp(tabulated, -10))
  expect(lookUp(tabulated, 200) / rate(110 + 273.15)).toBeCloseTo(1, 9)
  expect(lookUp(tabulated, Number.NaN)).toBeNaN()
})
