/** The simulated part of `npm run skill` as tables in Markdown. */
import type { Flatness } from './calibration.ts'
import type { Coverage, EndedRates, EndedResult } from './ended.ts'

const percent = (value: number) => `${(100 * value).toFixed(1)} %`
const table = (rows: readonly (readonly string[])[]) =>
  rows.map(cells => `| ${cells.join(' | ')} |`).join('\n')

export function endedTable({ estimator, unchanged48h }: EndedResult): string {
  const row = (name: string, cell: (rates: EndedRates) => string) => [
    name,
    cell(estimator),
    cell(unchanged48h),
  ]
  return table([
    ['', 'as read', "'unchanged for 48 h'"],
    ['---', '---', '---'],
    row('batches (of them stuck)', each => `${each.batches} (${each.stuck_batches})`),
    row('said while more than 2 points were to fall', each => percent(each.too_early)),
    row('stuck taken for finished, or the other way', each => percent(each.wrong_kind)),
    row('nothing said within 5 days of the end', each => percent(each.missed)),
    row('hours after the last point but one, median', each => each.delay_h.toFixed(0)),
    row('the same, nine of ten', each => each.delay90_h.toFixed(0)),
  ])
}

export function coverageTable({ coverage }: EndedResult): string {
  const part = (name: string, kind: readonly Coverage[]) =>
    [
      ['gravity now', (each: Coverage) => each.now90] as const,
      ['gravity days later', (each: Coverage) => each.later90] as const,
    ].map(([what, value]) => [
      `${name} (${kind[0]!.batches}): ${what}`,
      ...kind.map(each => `${(100 * value(each)).toFixed(0)} %`),
    ])
  return table([
    ['90 % interval holds at', ...coverage.sound.map(each => `${100 * each.share} % of the fall`)],
    ['---', ...coverage.sound.map(() => '---')],
    ...part('sound batches', coverage.sound),
    ...part('batches that stop early', coverage.stuck),
  ])
}

export function flatnessTable(all: readonly Flatness[]): string {
  return table([
    ['quantity', 'ranks in tenths', 'chi-squared (9)', 'p'],
    ['---', '---', '---', '---'],
    ...all.map(each => [
      each.quantity,
      each.ranks.join(' '),
      each.chiSquared.toFixed(1),
      each.p < 0.001 ? '< 0.001' : each.p.toFixed(3),
    ]),
  ])
}
