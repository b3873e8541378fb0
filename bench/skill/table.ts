/** Points and their summary by share of the fall, and both as text. */
import type { Baselines } from './baselines.ts'
import { SHARES } from './question.ts'

export interface SkillPoint {
  readonly record: string
  readonly share: number
  readonly now_h: number
  readonly readings: number
  readonly last_gravity: number
  /** Forecast of the last gravity at its time, minus the record. */
  readonly error_points: number
  /** Forecast of where it ends, minus the last gravity. */
  readonly asymptote_error_points: number
  readonly baselines: Baselines
  readonly in50: boolean
  readonly in90: boolean
  readonly width90_points: number
  /** Forecast of the time to within one point of the end, minus the record's; null where it had not come to rest. */
  readonly time_error_h: number | null
  readonly time_in90: boolean | null
}

export interface ShareSummary {
  readonly share: number
  readonly records: number
  readonly error_points: number
  readonly median_error_points: number
  readonly asymptote_error_points: number
  readonly in50: number
  readonly in90: number
  readonly width90_points: number
  readonly time_error_h: number | null
  readonly time_in90: number | null
  readonly baselines: { readonly [name in keyof Baselines]: number | null }
}

const present = (values: readonly (number | null)[]) => values.filter(value => value !== null)
const mean = (values: readonly number[]) =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length
const meanSize = (values: readonly (number | null)[]) => mean(present(values).map(Math.abs))
const part = (answers: readonly boolean[]) => mean(answers.map(Number))
const middle = (values: readonly number[]) => {
  const sorted = [...values].sort((a, b) => a - b)
  return (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2
}

export function summarise(points: readonly SkillPoint[]): readonly ShareSummary[] {
  return SHARES.flatMap(share => {
    const at = points.filter(point => point.share === share)
    if (at.length === 0) return []
    const baseline = (name: keyof Baselines) => meanSize(at.map(point => point.baselines[name]))
    return [
      {
        share,
        records: at.length,
        error_points: meanSize(at.map(point => point.error_points))!,
        median_error_points: middle(at.map(point => Math.abs(point.error_points))),
        asymptote_error_points: meanSize(at.map(point => point.asymptote_error_points))!,
        in50: part(at.map(point => point.in50))!,
        in90: part(at.map(point => point.in90))!,
        width90_points: mean(at.map(point => point.width90_points))!,
        time_error_h: meanSize(at.map(point => point.time_error_h)),
        time_in90: part(at.flatMap(point => (point.time_in90 === null ? [] : [point.time_in90]))),
        baselines: {
          expected: baseline('expected'),
          attenuation75: baseline('attenuation75'),
          logistic: baseline('logistic'),
          logistic_end: baseline('logistic_end'),
        },
      },
    ]
  })
}

const figure = (value: number | null, digits = 1) => (value === null ? '-' : value.toFixed(digits))
const percent = (value: number | null) => (value === null ? '-' : `${(100 * value).toFixed(0)} %`)

/** The summary as a table in Markdown, as the README shows it. */
export function summaryTable(summary: readonly ShareSummary[]): string {
  const head = ['of the fall', ...summary.map(each => percent(each.share))]
  const row = (name: string, cell: (each: ShareSummary) => string) => [name, ...summary.map(cell)]
  const rows = [
    head,
    head.map(() => '---'),
    row('records', each => `${each.records}`),
    row('**last gravity, mean error in points**', each => `**${figure(each.error_points)}**`),
    row('the same, median', each => figure(each.median_error_points)),
    row('where it ends, mean error in points', each => figure(each.asymptote_error_points)),
    row('50 % interval holds', each => percent(each.in50)),
    row('90 % interval holds', each => percent(each.in90)),
    row('width of the 90 % interval in points', each => figure(each.width90_points)),
    row('time to within 1 point of the end, mean error in h', each => figure(each.time_error_h, 0)),
    row('its 90 % interval holds', each => percent(each.time_in90)),
    row('instead: expected gravity at its word', each => figure(each.baselines.expected)),
    row('instead: 75 % attenuation', each => figure(each.baselines.attenuation75)),
    row('instead: logistic curve, read at the last time', each => figure(each.baselines.logistic)),
    row('instead: logistic curve, its end', each => figure(each.baselines.logistic_end)),
  ]
  return rows.map(cells => `| ${cells.join(' | ')} |`).join('\n')
}
