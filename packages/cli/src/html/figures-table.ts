import type { Fan } from '@attemper/core/rehearsal/result.ts'
import { escapeHtml } from './escape.ts'

const MOST_ROWS = 24

/** The figures of a fan chart as a table, for those who can not see the chart or want the numbers: every so many columns. */
export function figuresTable(
  title: string,
  x: readonly number[],
  fan: Fan,
  sayX: (x: number) => string,
  digits: number,
): string {
  const every = Math.max(1, Math.ceil(x.length / MOST_ROWS))
  const cell = (value: number | null | undefined) =>
    `<td class="number">${value === null || value === undefined ? '–' : value.toFixed(digits)}</td>`
  const rows = x.flatMap((at, index) =>
    index % every === 0
      ? [
          `<tr><th scope="row" class="number">${escapeHtml(sayX(at))}</th>${[
            fan.p5,
            fan.p25,
            fan.p50,
            fan.p75,
            fan.p95,
          ]
            .map(column => cell(column[index]))
            .join('')}</tr>`,
        ]
      : [],
  )
  const heads = ['', '5 %', '25 %', 'median', '75 %', '95 %']
  return `<details><summary>The figures of this chart</summary><table><caption>${escapeHtml(title)}: share of runs below</caption>
<thead><tr>${heads.map(head => `<th scope="col" class="number">${head}</th>`).join('')}</tr></thead>
<tbody>${rows.join('\n')}</tbody></table></details>`
}
