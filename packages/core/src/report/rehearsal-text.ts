import type { LocalDateTime } from '../plan/plan.ts'
import type { DrillResult, Fan, Quantiles, RehearsalResult, RunTrace } from '../rehearsal/result.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatGravity, formatNumber, formatPercent } from '../units/format.ts'
import { ONLY_A_MODEL, UNFINISHED_BEER } from './cautions.ts'
import { gravityScale, mapFan, temperatureScale } from './display-scale.ts'
import { couldStill, sayBound } from './enough-runs.ts'
import { headline, smallShare } from './headline.ts'
import { endedText, extentText, harmWord, riskText, VERDICT_SIGNS, worstFirst } from './rehearsal-words.ts'
import { AXIS_WIDTH, fanPicture, shareStrip, timeAxis } from './text/fan-picture.ts'
import { tableText } from './text/table.ts'
import { widthOf } from './text/width.ts'
import { paragraph } from './text/wrap.ts'

/**
 * A rehearsal as text for a terminal, in the order in which a brewer reads: the sentence, the picture, the stages, the
 * risks, the drills, and how to get the same again.
 */
export interface TextOptions {
  readonly width: number
  readonly units: DisplayUnits
  readonly start: LocalDateTime
  /** The command that makes exactly this rehearsal again. */
  readonly command: string
  /** Marks headings for a terminal; the identity where there is no colour. */
  readonly heading: (text: string) => string
}

export function rehearsalText(result: RehearsalResult, options: TextOptions): string {
  const { width, heading } = options
  const sections = [
    paragraph(headline(result, options.start), width),
    picture(result, options),
    `${heading('Stages')}\n${stagesTable(result, width)}`,
    `${heading('Risks')}\n${risksTable(result, options)}`,
  ]
  if (result.drills.length > 0) sections.push(`${heading('Drills')}\n${drillsTable(result, options)}`)
  sections.push(origin(result, options))
  return `${sections.join('\n\n')}\n`
}

/** Beer temperature and gravity over time, with the medians of the stages' beginnings below. */
function picture(result: RehearsalResult, options: TextOptions): string {
  const { overTime } = result
  const time = timeScale(result.overTime.time_h)
  const temperature = temperatureScale(options.units)
  const gravity = gravityScale(options.units)
  const parts = [
    options.heading(temperatureTitle(result.side, temperature.unit)),
    fanPicture({
      rows: 11,
      width: options.width,
      x: overTime.time_h,
      ...time,
      fan: mapFan(overTime.beer_C, temperature.of),
      dotted: overTime.target_C.nominal.map(each => (each === null ? null : temperature.of(each))),
    }),
  ]
  const strip = (label: string, fan: Fan) => {
    if (!fan.nominal.some(share => share !== null && share > 0.01)) return
    parts.push(shareStrip(label, options.width, overTime.time_h, fan.nominal, time.xFrom, time.xTo))
  }
  strip('heat', overTime.heater_share)
  strip('cool', overTime.cooler_share)
  parts.push(axisOf(options.width, time))
  if (result.side === 'fermentation') {
    parts.push(
      '',
      options.heading(gravity.title),
      fanPicture({
        rows: 8,
        width: options.width,
        x: overTime.time_h,
        ...time,
        fan: mapFan(overTime.gravity, gravity.of),
      }),
      axisOf(options.width, time),
    )
  }
  const line = stageLine(result, options.width, time)
  if (line !== '') parts.push(line)
  const key =
    'Line: median run. Dense grain: half of the runs. Light grain: nine in ten. Nominal run: dots its target, heat and cool its appliances.'
  parts.push(paragraph(key, options.width))
  return parts.join('\n')
}

function temperatureTitle(side: RehearsalResult['side'], unit: string): string {
  return `${side === 'fermentation' ? 'Beer' : 'Kettle'} temperature, ${unit}`
}

interface TimeScale {
  readonly xFrom: number
  readonly xTo: number
}

function timeScale(time_h: readonly number[]): TimeScale {
  return { xFrom: time_h[0] ?? 0, xTo: Math.max(time_h.at(-1) ?? 1, (time_h[0] ?? 0) + 1e-6) }
}

function axisOf(width: number, { xFrom, xTo }: TimeScale): string {
  return xTo - xFrom > 72 ? timeAxis(width, xFrom, xTo, 'd', 24) : timeAxis(width, xFrom, xTo, 'h', 1)
}

/** The stages' names, each from where it begins in the median run; names that do not fit are cut. */
function stageLine(result: RehearsalResult, width: number, { xFrom, xTo }: TimeScale): string {
  const cells = width - AXIS_WIDTH
  const begins = result.stages
    .filter(stage => stage.begins_h.p50 !== null && stage.entered >= 0.5)
    .map(stage => ({
      name: stage.stage,
      column: Math.round(((stage.begins_h.p50! - xFrom) / (xTo - xFrom)) * cells),
    }))
    .filter(each => each.column >= 0 && each.column < cells)
    .sort((one, other) => one.column - other.column)
  let line = ''
  for (const [index, { name, column }] of begins.entries()) {
    const room = (begins[index + 1]?.column ?? cells) - column
    // A stage that is over at once gives way to the next one.
    if (room < LEAST_NAME) continue
    line = `${line.padEnd(column)}╷${cutTo(name, room - 2)}`
  }
  return line === '' ? '' : `${' '.repeat(AXIS_WIDTH)}${line}`
}

const LEAST_NAME = 5

function cutTo(text: string, room: number): string {
  if (room < 3) return ''
  if (widthOf(text) <= room) return text
  let cut = ''
  for (const character of text) {
    if (widthOf(cut + character) > room - 1) break
    cut += character
  }
  return `${cut}…`
}

function stagesTable(result: RehearsalResult, width: number): string {
  const days = result.overTime.time_h.at(-1)! > 72
  const wide = width >= 76
  const rows = result.stages.map(stage => [
    stage.stage,
    middle(stage.begins_h, days),
    between(stage.begins_h.p25, stage.begins_h.p75, days),
    ...(wide ? [between(stage.begins_h.p5, stage.begins_h.p95, days)] : []),
    middle(stage.lasts_h, days),
    endedText(stage.ended, stage.entered),
    formatPercent(stage.late),
    formatPercent(stage.asked),
  ])
  return tableText(
    [
      { title: 'stage', wraps: true },
      { title: days ? 'day' : 'hour', align: 'right' },
      { title: '50 %', align: 'right' },
      ...(wide ? ([{ title: '90 %', align: 'right' }] as const) : []),
      { title: 'lasts', align: 'right' },
      { title: 'ended by', wraps: true },
      { title: 'late', align: 'right' },
      { title: 'asked', align: 'right' },
    ],
    rows,
    width,
  )
}

function middle(q: Quantiles, days: boolean): string {
  return q.p50 === null ? 'never' : inTime(q.p50, days)
}

function between(low: number | null, high: number | null, days: boolean): string {
  if (low === null) return 'never'
  const from = inTime(low, days)
  const to = high === null ? 'never' : inTime(high, days)
  return from === to ? from : `${from}–${to}`
}

function inTime(hours: number, days: boolean): string {
  const value = days ? hours / 24 : hours
  return value.toFixed(days || value < 10 ? (days ? 1 : 2) : 1)
}

function risksTable(result: RehearsalResult, { width, units }: TextOptions): string {
  if (result.risks.length === 0) {
    return paragraph(
      `None of ${result.runs} runs suffered any of the harms that a rehearsal looks for; up to ${sayBound(couldStill(result.runs))} of all could.`,
      width,
    )
  }
  const rows = result.risks.map(risk => [
    smallShare(risk.share),
    harmWord(risk.harm),
    riskText(risk),
    extentText(risk, units),
    risk.worst[0] === undefined ? '' : String(risk.worst[0]),
  ])
  return tableText(
    [
      { title: 'runs', align: 'right' },
      { title: 'harm' },
      { title: 'what happens', wraps: true },
      { title: 'median', align: 'right', wraps: true, most: 10 },
      { title: 'worst run', align: 'right' },
    ],
    rows,
    width,
  )
}

/** The table of drills, for `rehearse` and for `drill`. */
export function drillsTable(
  result: { readonly drills: readonly DrillResult[] },
  { width, units }: Pick<TextOptions, 'width' | 'units'>,
): string {
  const temperature = temperatureScale(units)
  const rows = worstFirst(result.drills).map(drill => [
    `${VERDICT_SIGNS[drill.verdict]} ${drill.verdict}`,
    drill.title,
    drill.moment_h === null ? '' : momentText(drill.moment_h),
    drill.verdict === 'not applicable'
      ? ''
      : `${temperature.of(drill.lowest_C).toFixed(1)}–${temperature.of(drill.highest_C).toFixed(1)}`,
    drill.reason,
  ])
  return tableText(
    [
      { title: 'verdict', wraps: true, most: 12 },
      { title: 'drill', wraps: true },
      { title: 'when', align: 'right' },
      { title: temperature.unit, align: 'right' },
      { title: 'what came of it', wraps: true },
    ],
    rows,
    width,
  )
}

function momentText(hours: number): string {
  return hours >= 72 ? `${(hours / 24).toFixed(1)} d` : `${hours.toFixed(1)} h`
}

function origin(result: RehearsalResult, options: TextOptions): string {
  const gravity = result.final.gravity
  const ends =
    result.side === 'fermentation' && gravity.p5 !== null && gravity.p50 !== null && gravity.p95 !== null
      ? `Final gravity ${formatGravity(gravity.p50, options.units)} (90 % of finished runs between ${formatGravity(gravity.p5, options.units)} and ${formatGravity(gravity.p95, options.units)}), ${formatNumber(result.final.alcohol_percent_vol.p50 ?? Number.NaN, 1)} % alcohol by volume.`
      : ''
  const cautions = result.side === 'fermentation' ? `${ONLY_A_MODEL} ${UNFINISHED_BEER}` : ONLY_A_MODEL
  const made = `${result.runs} runs with seed ${result.seed}, and the nominal run. The same again, to the bit:`
  return [
    ...(ends === '' ? [] : [paragraph(ends, options.width), '']),
    paragraph(cautions, options.width),
    '',
    paragraph(made, options.width),
    `  ${options.command}`,
  ].join('\n')
}

/** One run as a picture: the fan has shrunk to a line. */
export function runPicture(
  trace: RunTrace,
  side: RehearsalResult['side'],
  options: Pick<TextOptions, 'width' | 'units' | 'heading'>,
): string {
  const time = timeScale(trace.time_h)
  const temperature = temperatureScale(options.units)
  const gravity = gravityScale(options.units)
  const line = (values: readonly (number | null)[]): Fan => ({
    p5: values,
    p25: values,
    p50: values,
    p75: values,
    p95: values,
    nominal: values,
  })
  const shared = { width: options.width, x: trace.time_h, ...time }
  const parts = [
    options.heading(temperatureTitle(side, temperature.unit)),
    fanPicture({
      ...shared,
      rows: 11,
      fan: mapFan(line(trace.beer_C), temperature.of),
      dotted: trace.target_C.map(each => (each === null ? null : temperature.of(each))),
    }),
    shareStrip('heat', options.width, trace.time_h, trace.heater_share, time.xFrom, time.xTo),
    shareStrip('cool', options.width, trace.time_h, trace.cooler_share, time.xFrom, time.xTo),
    axisOf(options.width, time),
  ]
  if (side === 'fermentation') {
    parts.push(
      '',
      options.heading(gravity.title),
      fanPicture({ ...shared, rows: 8, fan: mapFan(line(trace.gravity), gravity.of) }),
      axisOf(options.width, time),
    )
  }
  return parts.join('\n')
}
