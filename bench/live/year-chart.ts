import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { Figure } from '../figure.ts'
import { median } from '../timing.ts'
import type { ChartTimes } from './year-child.ts'
import { YEAR_FROM_MS, YEAR_READINGS, YEAR_TO_MS } from './year-of-readings.ts'

const BUCKETS = 1200
const PROCESSES = 7
const CHILD = fileURLToPath(new URL('./year-child.ts', import.meta.url))

/** A chart over a year of readings each second, the first thing that a fresh process with a fresh connection is asked. */
export function yearChart(file: string): readonly Figure[] {
  const year = Array.from({ length: PROCESSES }, () => ask(file, YEAR_FROM_MS, YEAR_TO_MS))
  for (const { readings } of year) {
    if (readings !== YEAR_READINGS)
      throw new Error(`the chart holds ${readings} readings, not ${YEAR_READINGS}`)
  }
  const first_ms = median(year.map(times => times.first_ms))
  const month = ask(file, YEAR_TO_MS - 30 * 86_400_000, YEAR_TO_MS)
  return [
    {
      name: `chart over a year of each second, ${BUCKETS} parts, cold`,
      value: first_ms,
      unit: 'ms',
      goal: { first: 50, aim: 5, better: 'less' },
      note:
        `median of ${PROCESSES} processes, between ${Math.min(...year.map(t => t.first_ms)).toFixed(1)} and ` +
        `${Math.max(...year.map(t => t.first_ms)).toFixed(1)} ms; asked again ` +
        `${median(year.map(t => t.second_ms)).toFixed(1)} ms; opening before it ` +
        `${median(year.map(t => t.open_ms)).toFixed(1)} ms; a month ${month.first_ms.toFixed(1)} ms; ` +
        `${year[0]!.buckets} parts, since their width is whole hours`,
    },
  ]
}

function ask(file: string, from_ms: number, to_ms: number): ChartTimes {
  const child = spawnSync(process.execPath, [CHILD, file, `${from_ms}`, `${to_ms}`, `${BUCKETS}`], {
    encoding: 'utf8',
    timeout: 60_000,
  })
  if (child.status !== 0) throw new Error(child.stderr || 'the chart took too long')
  return JSON.parse(child.stdout) as ChartTimes
}
