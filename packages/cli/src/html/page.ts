import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type { LocalDateTime } from '@attemper/core/plan/plan.ts'
import type { Fan, RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import { gravityScale, mapFan, temperatureScale } from '@attemper/core/report/display-scale.ts'
import { headline } from '@attemper/core/report/headline.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { escapeHtml, escapeJson } from './escape.ts'
import { figuresTable } from './figures-table.ts'
import { inlineModules } from './inline-script.ts'
import { drillsTable, risksTable, stagesTable } from './page-tables.ts'

/** What a page says besides the result. */
export interface PageOptions {
  readonly units: DisplayUnits
  readonly start: LocalDateTime
  readonly command: string
  readonly version: string
}

/** A rehearsal as one page that holds everything it needs: no network, no other file. */
export function rehearsalPage(result: RehearsalResult, options: PageOptions): string {
  const temperature = temperatureScale(options.units)
  const gravity = gravityScale(options.units)
  const { overTime, path } = result
  const days = (overTime.time_h.at(-1) ?? 0) > 72
  const sayTime = (h: number) => (days ? `day ${(h / 24).toFixed(1)}` : `${h.toFixed(2)} h`)
  const gravityDigits = options.units.gravity === 'SG' ? 3 : 1
  const fermentation = result.side === 'fermentation'
  const shares = [overTime.heater_share, overTime.cooler_share].map(shareOf)
  const works = shares.some(column => column.some(share => share !== null && share > 0.01))
  const axis = ascending(path.gravity.map(gravity.of))
  const inOrder = (fan: Fan): Fan => mapColumns(fan, column => axis.order.map(index => column[index] ?? null))
  const pathFan = mapFan(inOrder(path.beer_C), temperature.of)
  const temperatureFan = mapFan(overTime.beer_C, temperature.of)
  const gravityFan = mapFan(overTime.gravity, gravity.of)
  const data = {
    days,
    time_h: overTime.time_h,
    temperature: rounded(temperatureFan, 3),
    target: targetOf(overTime.target_C, temperature.of),
    gravity: rounded(gravityFan, 5),
    heat: shares[0],
    cool: shares[1],
    path: {
      x: axis.values,
      fan: rounded(pathFan, 3),
      target: targetOf(inOrder(path.target_C), temperature.of),
    },
    stages: result.stages
      .filter(stage => stage.begins_h.p50 !== null && stage.entered >= 0.5)
      .map(stage => ({ at: stage.begins_h.p50, name: stage.stage })),
    limits: limitsOf(result, temperature.of),
    units: {
      temperature: temperature.unit,
      gravity: gravity.unit === 'SG' ? '' : gravity.unit,
      gravityDigits,
    },
  }
  const title = `${result.plan}, rehearsed`
  const beerWord = fermentation ? 'beer' : 'kettle'
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:">
<title>${escapeHtml(title)}</title>
<style>${plotFile('uPlot.min.css')}${ownFile('page.css')}</style>
</head>
<body>
<main>
<p class="batch">${escapeHtml(`${result.plan} · ${result.beer} · ${result.vessel}`)}</p>
<h1>${escapeHtml(headline(result, options.start))}</h1>

<h2>Over time</h2>
<p class="key">${[
    keyEntry('line', 'temperature', 'median run'),
    keyEntry('', 'temperature-50', 'half of the runs'),
    keyEntry('', 'temperature-90', 'nine in ten'),
    keyEntry('line dashed', 'ink', 'target of the nominal run'),
    keyEntry('line dotted', 'ink-faint', 'nominal run'),
  ].join(' ')}</p>
<h3>Temperature of the ${beerWord}, ${temperature.unit}</h3>
${chart('temperature', `Temperature of the ${beerWord} over time: ${inWords(temperatureFan, 1, temperature.unit)}`)}
${figuresTable(`Temperature of the ${beerWord}, ${temperature.unit}`, overTime.time_h, temperatureFan, sayTime, 1)}
${
  works
    ? `<h3>Share of the time that heater and cooler are on, in the nominal run</h3>
${chart('shares', 'Heating upwards as solid columns, cooling downwards as hatched columns, as a share of the time.')}`
    : ''
}
${
  fermentation
    ? `<h3>${gravity.title}</h3>
${chart('gravity', `${gravity.title} over time: ${inWords(gravityFan, gravityDigits, '')}`)}
${figuresTable(gravity.title, overTime.time_h, gravityFan, sayTime, gravityDigits)}

<h2>The path</h2>
<p>Temperature against gravity, fermentation running from left to right. A plan that follows the beer is one line here, however fast or slow the yeast is.</p>
${chart('path', `Temperature of the beer against its gravity, which falls from left to right: ${inWords(pathFan, 1, temperature.unit)}`)}
${figuresTable(`Temperature of the beer, ${temperature.unit}, by gravity`, axis.values, pathFan, at => at.toFixed(gravityDigits), 1)}`
    : ''
}

<h2>Stages</h2>
${stagesTable(result, days)}

<h2>Risks</h2>
${risksTable(result, options.units)}

${result.drills.length === 0 ? '' : `<h2>Drills</h2>\n<p>One fault at a time was put into the nominal run.</p>\n${drillsTable(result, options.units)}`}

<h2>How this was made</h2>
<p>${result.runs} runs with seed ${result.seed}, and the nominal run, by Attemper ${escapeHtml(options.version)}; each run has its own vessel, yeast, instruments and faults, drawn from their uncertainties. The same again, to the bit:</p>
<pre>${escapeHtml(options.command)}</pre>
<p class="key">A rehearsal is a model, not a promise. Never bottle a beer that may not have finished, and never let software be the only protection against heat or pressure.</p>
</main>
<script type="application/json" id="data">${escapeJson(data)}</script>
<script>${plotFile('uPlot.iife.min.js')}</script>
<script type="module">${inlineModules([ownFile('browser/charts.js'), ownFile('browser/page.js')])}</script>
</body>
</html>
`
}

/** One entry of a key: a sample of the line or the fill, and what it means. */
function keyEntry(look: string, colour: string, meaning: string): string {
  return `<span><span class="sample ${look}" style="--fill: var(--${colour})"></span>${meaning}</span>`
}

function chart(name: string, label: string): string {
  return `<div class="chart" id="chart-${name}" role="img" tabindex="0" aria-label="${escapeHtml(`${label} Arrow keys move the cursor.`)}"></div>
<p class="readout" id="readout-${name}" aria-live="polite">Point at the chart to read its values.</p>`
}

/** Where the median begins, ends, and how far it goes, for those who hear the page. */
function inWords(fan: Fan, digits: number, unit: string): string {
  const known = fan.p50.filter(value => value !== null)
  if (known.length === 0) return 'no figures.'
  const say = (value: number) => `${value.toFixed(digits)}${unit === '' ? '' : ` ${unit}`}`
  return `the median begins at ${say(known[0]!)}, ends at ${say(known.at(-1)!)}, and lies between ${say(Math.min(...known))} and ${say(Math.max(...known))}.`
}

/** Of the nominal run: the median of shares that are mostly 0 or 1 would say nothing. */
function shareOf(fan: Fan): (number | null)[] {
  return fan.nominal.map(share => round(share, 3))
}

function targetOf(fan: Fan, of: (value: number) => number): (number | null)[] {
  return fan.nominal.map(value => (value === null ? null : round(of(value), 3)))
}

function limitsOf(result: RehearsalResult, of: (value: number) => number) {
  const { lowest_C, highest_C } = result.limits
  return [
    ...(highest_C === null ? [] : [{ value: of(highest_C), name: 'highest limit' }]),
    ...(lowest_C === null ? [] : [{ value: of(lowest_C), name: 'lowest limit' }]),
  ]
}

/** The library wants its axis ascending, whichever way the gravity runs. */
function ascending(values: readonly number[]): { values: number[]; order: number[] } {
  const order = values.map((_, index) => index).sort((one, other) => values[one]! - values[other]!)
  return { order, values: order.map(index => round(values[index]!, 5)) }
}

function mapColumns(fan: Fan, of: (column: readonly (number | null)[]) => (number | null)[]): Fan {
  return {
    p5: of(fan.p5),
    p25: of(fan.p25),
    p50: of(fan.p50),
    p75: of(fan.p75),
    p95: of(fan.p95),
    nominal: of(fan.nominal),
  }
}

function rounded(fan: Fan, digits: number): Fan {
  return mapColumns(fan, column => column.map(value => round(value, digits)))
}

function round<Value extends number | null>(value: Value, digits: number): Value {
  return (value === null ? null : Number(value.toFixed(digits))) as Value
}

function ownFile(name: string): string {
  return readFileSync(new URL(name, import.meta.url), 'utf8')
}

function plotFile(name: string): string {
  const main = createRequire(import.meta.url).resolve('uplot')
  return readFileSync(join(dirname(main), name), 'utf8')
}
