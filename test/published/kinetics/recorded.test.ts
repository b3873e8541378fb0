import { readFileSync } from 'node:fs'
import {
  createFermentation,
  type FermentationParameters,
  fermentableExtract_g_per_L,
  stepFermentation,
} from '@attemper/core/world/fermentation/core.ts'
import { describe, expect, test } from 'vitest'
import { number, table } from '../table.ts'
import { leastSquares } from './least-squares.ts'
import { fitLogistic, logistic_P } from './logistic.ts'
import { publishedParameters } from './published-core.ts'
import { type Comparison, compare } from './recorded.ts'
import { SUPPOSITIONS } from './suppositions.ts'

const published = (parameters: FermentationParameters): FermentationParameters => ({
  ...parameters,
  osmoticSlowing_L_per_g: 0,
  ethanolSlowing_L_per_g: 0,
})
const extended = (parameters: FermentationParameters) => parameters

/** Rows of the table in the documentation: record, then four numbers of points. */
const documented = new Map(
  readFileSync(new URL('../../../docs/reference/fermentation-model.md', import.meta.url), 'utf8')
    .split('\n')
    .filter(line => /^\| [a-z]+1\d{3}-|^\| balling-/.test(line))
    .map(line => {
      const cells = line.split('|').map(cell => cell.trim())
      return [cells[1]!, cells.slice(2, 6).map(Number)] as const
    }),
)

describe('recorded fermentations, with and without the terms for strong worts', () => {
  const results = new Map<string, readonly [before: Comparison, after: Comparison]>(
    SUPPOSITIONS.map(supposition => [
      supposition.file,
      [compare(supposition, published), compare(supposition, extended)],
    ]),
  )
  test.each(SUPPOSITIONS.map(supposition => supposition.file))('%s: as documented', file => {
    const [before, after] = results.get(file)!
    const figures = [
      before.predicted_points,
      after.predicted_points,
      before.fitted_points,
      after.fitted_points,
    ]
    const printed = documented.get(file)
    expect(printed, `${file} is missing in the documentation`).toBeDefined()
    // Rounding of the page, and a fit that may end a little elsewhere on another machine.
    figures.forEach((figure, i) => {
      expect(Math.abs(figure - printed![i]!)).toBeLessThanOrEqual(0.15)
    })
  })

  test('ordinary worts are not touched', () => {
    for (const supposition of SUPPOSITIONS) {
      const gravities = table(`recorded/${supposition.file}.csv`).map(row => number(row, 'gravity') || 0)
      if (Math.max(...gravities) > 1.06) continue
      const [before, after] = results.get(supposition.file)!
      expect(after.predicted_points).toBeCloseTo(before.predicted_points, 6)
    }
  })

  test('the strong ale of 1829 and both musts are predicted better, and the must of 1847 by half', () => {
    for (const [file, share] of [
      ['sduk1829-scotch-ale', 0.8],
      ['oppmann1856-leisten', 0.6],
      ['fischern1847-must-1', 0.5],
    ] as const) {
      const [before, after] = results.get(file)!
      expect(after.predicted_points).toBeLessThan(share * before.predicted_points)
      expect(after.fitted_points).toBeLessThan(before.fitted_points)
    }
  })

  test('beers are fitted within two points, the strong ale within three', () => {
    for (const file of [
      'black1849-second-ale',
      'pedersen1878-cold-still',
      'pedersen1878-warm-a',
      'pedersen1878-warm-c',
      'hansen1879-1-still',
      'hansen1879-2-aerated',
      'haecker1864-pitched',
    ]) {
      expect(results.get(file)![1].fitted_points, file).toBeLessThan(2)
    }
    expect(results.get('sduk1829-scotch-ale')![1].fitted_points).toBeLessThan(3)
  })
})

/** P. A. Valle et al. 2024: Saccharomyces in agave juice, 28 °C, three replicates. */
describe('agave juice at 28 °C', () => {
  const rows = table('recorded/agave-yeast-28C/agave-yeast-28C.csv')
  const times = rows.map(row => number(row, 'time_h'))
  const sugar = (replicate: number) =>
    rows.map(row => number(row, `glucose_${replicate}_gL`) + number(row, `fructose_${replicate}_gL`))

  test('logistic curve of replicate 1', () => {
    // Reference: 123.2 to 6.50 g/L, B 0.306 1/h, M 15.36 h, rmse 0.95 g/L (least squares, computed for the data set).
    const guess = { first_P: 122, last_P: 6, slope_per_h: 0.2, middle_h: 16 }
    const fit = fitLogistic(times, sugar(1), guess)
    expect(Math.abs(fit.first_P - 123.2)).toBeLessThan(0.1)
    expect(Math.abs(fit.last_P - 6.5)).toBeLessThan(0.02)
    expect(Math.abs(fit.slope_per_h - 0.306)).toBeLessThan(0.001)
    expect(Math.abs(fit.middle_h - 15.36)).toBeLessThan(0.02)
    const squares = times.map((time_h, i) => (logistic_P(fit, time_h) - sugar(1)[i]!) ** 2)
    expect(Math.sqrt(squares.reduce((a, b) => a + b) / squares.length)).toBeCloseTo(0.95, 2)
  })

  test.each([1, 2, 3])('the core follows the sugar of replicate %i within 4 g/L', replicate => {
    const data = sugar(replicate)
    const left = data.at(-1)!
    // Speed, growth and lag are fitted; final sugar is that of the last sample; a heavy pitch of 1e8 cells per mL.
    const misses = (p: readonly number[]) => {
      const base = publishedParameters('ale')
      const parameters = {
        ...base,
        fermentable_g_per_L: data[0]! - left,
        latentAtPitch: 0.5,
        activeAtPitch: 0.02,
        uptake_g_per_L_h: base.uptake_g_per_L_h * Math.exp(p[0]!),
        growth_per_h: base.growth_per_h * Math.exp(p[1]!),
        lagFactor: Math.exp(p[2]!),
      }
      const state = createFermentation(parameters)
      return times.map((time_h, i) => {
        if (i > 0) for (let h = times[i - 1]!; h < time_h; h++) stepFermentation(state, parameters, 28, 3600)
        return fermentableExtract_g_per_L(state) + left - data[i]!
      })
    }
    const best = misses(leastSquares(misses, [0.5, 0, -1]))
    expect(Math.sqrt(best.reduce((a, b) => a + b * b, 0) / best.length)).toBeLessThan(4)
  })
})
