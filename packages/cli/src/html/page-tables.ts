import type { Quantiles, RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import { smallShare } from '@attemper/core/report/headline.ts'
import {
  endedText,
  extentText,
  harmWord,
  VERDICT_SIGNS,
  worstFirst,
} from '@attemper/core/report/rehearsal-words.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatTemperature } from '@attemper/core/units/format.ts'
import { escapeHtml } from './escape.ts'

interface Cell {
  readonly text: string
  readonly look?: 'number' | 'prose' | 'verdict'
  /** Drawn as a thin bar below the text, 0 to 1. */
  readonly share?: number
}

export function stagesTable(result: RehearsalResult, days: boolean): string {
  const unit = days ? 'day' : 'hour'
  const range = (from: number | null, to: number | null) => number(spanText(from, to, days))
  return table(
    [
      'stage',
      `begins on ${unit}`,
      'half of the runs',
      'nine in ten',
      `lasts ${unit}s`,
      'ended by',
      'late',
      'asked you',
    ],
    result.stages.map(stage => [
      { text: stage.stage },
      number(timeText(stage.begins_h.p50, days)),
      range(stage.begins_h.p25, stage.begins_h.p75),
      range(stage.begins_h.p5, stage.begins_h.p95),
      number(medianText(stage.lasts_h, days)),
      { text: endedText(stage.ended, stage.entered) },
      number(smallShare(stage.late)),
      number(smallShare(stage.asked)),
    ]),
  )
}

export function risksTable(result: RehearsalResult, units: DisplayUnits): string {
  if (result.risks.length === 0) {
    return '<p>None: no run suffered any of the harms that a rehearsal looks for.</p>'
  }
  return table(
    ['what happens', 'runs', 'harm', 'median', 'worst runs'],
    result.risks.map(risk => [
      { text: risk.message },
      { text: smallShare(risk.share), look: 'number', share: risk.share },
      { text: harmWord(risk.harm) },
      number(extentText(risk, units)),
      number(risk.worst.join(', ')),
    ]),
  )
}

export function drillsTable(result: RehearsalResult, units: DisplayUnits): string {
  return table(
    ['drill', 'verdict', 'decided after', 'what the plan and the interlocks made of it', 'lowest', 'highest'],
    worstFirst(result.drills).map(drill => [
      { text: drill.title },
      { text: `${VERDICT_SIGNS[drill.verdict]} ${drill.verdict}`, look: 'verdict' },
      number(drill.moment_h === null ? '' : momentText(drill.moment_h)),
      { text: drill.reason, look: 'prose' },
      number(drill.verdict === 'not applicable' ? '' : formatTemperature(drill.lowest_C, units)),
      number(drill.verdict === 'not applicable' ? '' : formatTemperature(drill.highest_C, units)),
    ]),
  )
}

function number(text: string): Cell {
  return { text, look: 'number' }
}

function table(titles: readonly string[], rows: readonly (readonly Cell[])[]): string {
  const numeric = titles.map((_, index) => rows.every(row => row[index]?.look === 'number'))
  const heads = titles.map(
    (title, index) => `<th scope="col"${numeric[index] ? ' class="number"' : ''}>${escapeHtml(title)}</th>`,
  )
  const lines = rows.map(row => {
    const [first, ...rest] = row
    const cells = rest.map((cell, index) => {
      const bar =
        cell.share === undefined
          ? ''
          : `<span class="bar" style="--share: ${(cell.share * 100).toFixed(1)}%"></span>`
      const look = cell.look === undefined ? '' : ` class="${cell.look}"`
      return `<td${look} data-title="${escapeHtml(titles[index + 1]!)}">${escapeHtml(cell.text)}${bar}</td>`
    })
    return `<tr><th scope="row">${escapeHtml(first!.text)}</th>${cells.join('')}</tr>`
  })
  return `<table class="stacks"><thead><tr>${heads.join('')}</tr></thead>\n<tbody>${lines.join('\n')}</tbody></table>`
}

function timeText(hours: number | null, days: boolean): string {
  if (hours === null) return 'never'
  return days ? (hours / 24).toFixed(1) : hours.toFixed(2)
}

function spanText(from: number | null, to: number | null, days: boolean): string {
  const [low, high] = [timeText(from, days), timeText(to, days)]
  return low === high ? low : `${low} to ${high}`
}

function medianText(quantiles: Quantiles, days: boolean): string {
  return timeText(quantiles.p50, days)
}

function momentText(hours: number): string {
  return hours >= 72 ? `${(hours / 24).toFixed(1)} days` : `${hours.toFixed(1)} h`
}
