/**
 * The charts of a rehearsal, drawn with uPlot into elements of any page. Numbers come in display units; colours come from
 * CSS variables, so that a page decides how it looks in the light, in the dark and on paper. The library is handed in.
 *
 * @typedef {import('uplot')} Plot
 * @typedef {typeof import('uplot')} PlotLibrary
 * @typedef {readonly (number | null)[]} Column
 * @typedef {{ p5: Column, p25: Column, p50: Column, p75: Column, p95: Column, nominal: Column }} Fan
 * @typedef {{ at: number, name: string }} Mark a stage, from where it begins
 *
 * @typedef {object} FanChartOptions
 * @property {readonly number[]} x ascending
 * @property {Fan} fan
 * @property {Column} [target] drawn dashed
 * @property {'temperature' | 'gravity'} look
 * @property {number} height CSS pixels
 * @property {number} digits of the values in the readout
 * @property {string} unit
 * @property {(x: number) => string} sayX the place on the axis, for the readout
 * @property {(x: number) => string} tickX
 * @property {boolean} [falling] the axis runs from high to low
 * @property {readonly number[]} [stepsX] distances of ticks that read well
 * @property {readonly Mark[]} [marks]
 * @property {readonly { value: number, name: string }[]} [limits]
 * @property {string} [sync] charts of the same name share a cursor
 * @property {HTMLElement} readout says the values under the cursor
 *
 * @typedef {object} ShareChartOptions
 * @property {readonly number[]} x
 * @property {Column} heat shares from 0 to 1
 * @property {Column} cool
 * @property {number} height
 * @property {(x: number) => string} tickX
 * @property {(x: number) => string} sayX
 * @property {readonly number[]} [stepsX]
 * @property {string} [sync]
 * @property {HTMLElement} readout
 */

const AXIS_WIDTH = 52

/**
 * A median in its 50 % and 90 % bands, with the nominal run and a target.
 *
 * @param {PlotLibrary} library @param {HTMLElement} host @param {FanChartOptions} options @returns {Plot}
 */
export function fanChart(library, host, options) {
  const colour = paletteOf(host)
  const { fan, look } = options
  const invisible = { stroke: 'transparent', width: 0, points: { show: false } }
  /** @type {import('uplot').Options} */
  const setup = {
    width: widthFor(host),
    height: options.height,
    legend: { show: false },
    cursor: cursorFor(options.sync),
    scales: {
      x: { time: false, dir: options.falling ? -1 : 1, range: (_plot, low, high) => [low, high] },
      y: { range: (_plot, low, high) => padded(low, high) },
    },
    axes: [axisX(colour, options), axisY(colour)],
    series: [
      {},
      invisible,
      invisible,
      invisible,
      invisible,
      line(() => colour(`--${look}`), 2.25),
      line(() => colour('--ink-faint'), 1, [2, 3]),
      ...(options.target === undefined ? [] : [line(() => colour('--ink'), 1.25, [7, 4])]),
    ],
    bands: [
      { series: [1, 2], fill: () => colour(`--${look}-90`) },
      { series: [3, 4], fill: () => colour(`--${look}-50`) },
    ],
    hooks: {
      drawAxes: [plot => drawMarks(plot, options, colour)],
      setCursor: [plot => sayFan(plot, options)],
    },
  }
  const data = [options.x, fan.p95, fan.p5, fan.p75, fan.p25, fan.p50, fan.nominal]
  if (options.target !== undefined) data.push(options.target)
  return live(library, host, setup, data, options.height)
}

/**
 * How much of the time heater and cooler were on: heat as solid columns upwards, cold as hatched columns downwards, so
 * that nobody needs the colour.
 *
 * @param {PlotLibrary} library @param {HTMLElement} host @param {ShareChartOptions} options @returns {Plot}
 */
export function shareChart(library, host, options) {
  const colour = paletteOf(host)
  const down = options.cool.map(share => (share === null ? null : -share))
  /** @type {import('uplot').Options} */
  const setup = {
    width: widthFor(host),
    height: options.height,
    legend: { show: false },
    cursor: cursorFor(options.sync),
    scales: {
      x: { time: false, range: (_plot, low, high) => [low, high] },
      y: { range: () => [-1, 1] },
    },
    axes: [
      axisX(colour, options),
      {
        ...axisY(colour),
        splits: () => [-1, 0, 1],
        values: () => ['cool ▼', '', 'heat ▲'],
      },
    ],
    series: [
      {},
      { stroke: 'transparent', points: { show: false } },
      { stroke: 'transparent', points: { show: false } },
    ],
    hooks: {
      draw: [plot => drawShares(plot, options, colour)],
      setCursor: [plot => sayShares(plot, options)],
    },
  }
  return live(library, host, setup, [options.x, options.heat, down], options.height)
}

/**
 * Makes the plot, keeps it as wide as its host, redraws it when light, dark or paper change, and moves its cursor with the
 * arrow keys.
 *
 * @param {PlotLibrary} library @param {HTMLElement} host @param {import('uplot').Options} setup
 * @param {readonly (readonly (number | null)[])[]} data @param {number} height @returns {Plot}
 */
function live(library, host, setup, data, height) {
  const plot = new library(setup, /** @type {import('uplot').AlignedData} */ (data), host)
  new ResizeObserver(() => plot.setSize({ width: widthFor(host), height })).observe(host)
  for (const query of ['(prefers-color-scheme: dark)', 'print']) {
    matchMedia(query).addEventListener('change', () => plot.redraw(false, true))
  }
  host.addEventListener('keydown', event => {
    const step = { ArrowLeft: -1, ArrowRight: 1, PageUp: -12, PageDown: 12 }[event.key]
    if (step === undefined) return
    event.preventDefault()
    const last = plot.data[0].length - 1
    const move = step * (plot.scales.x?.dir === -1 ? -1 : 1)
    const from = plot.cursor.idx ?? (move > 0 ? -1 : last + 1)
    const index = Math.max(0, Math.min(last, from + move))
    const left = plot.valToPos(/** @type {number} */ (plot.data[0][index]), 'x')
    plot.setCursor({ left, top: plot.over.clientHeight / 2 }, true)
  })
  return plot
}

/** @param {HTMLElement} host @returns {(name: string) => string} the present value of a CSS variable */
function paletteOf(host) {
  return name => getComputedStyle(host).getPropertyValue(name).trim()
}

/** @param {HTMLElement} host */
function widthFor(host) {
  return Math.max(200, Math.floor(host.clientWidth))
}

/** @param {string | undefined} sync @returns {import('uplot').Cursor} */
function cursorFor(sync) {
  const shared =
    sync === undefined ? {} : { sync: { key: sync, scales: /** @type {[string, null]} */ (['x', null]) } }
  return { drag: { x: false, y: false }, points: { show: false }, y: false, ...shared }
}

/** @param {(name: string) => string} colour @param {{ tickX: (x: number) => string, stepsX?: readonly number[] }} options */
function axisX(colour, options) {
  /** @type {import('uplot').Axis} */
  const axis = {
    stroke: () => colour('--ink-soft'),
    font: '12px system-ui, sans-serif',
    size: 30,
    space: 56,
    grid: { show: false },
    ticks: { stroke: () => colour('--rule'), size: 5 },
    values: (_plot, splits) => splits.map(options.tickX),
    ...(options.stepsX === undefined ? {} : { incrs: [...options.stepsX] }),
  }
  return axis
}

/** @param {(name: string) => string} colour */
function axisY(colour) {
  /** @type {import('uplot').Axis} */
  const axis = {
    stroke: () => colour('--ink-soft'),
    font: '12px system-ui, sans-serif',
    size: AXIS_WIDTH,
    space: 34,
    grid: { stroke: () => colour('--grid'), width: 1 },
    ticks: { show: false },
  }
  return axis
}

/** @param {() => string} stroke @param {number} width @param {number[]} [dash] @returns {import('uplot').Series} */
function line(stroke, width, dash) {
  return { stroke, width, points: { show: false }, ...(dash === undefined ? {} : { dash }) }
}

/** @param {number} low @param {number} high @returns {[number, number]} */
function padded(low, high) {
  const margin = (high - low) * 0.05 || Math.abs(high) * 0.01 || 1
  return [low - margin, high + margin]
}

/**
 * Where each stage begins, and the plan's limits.
 *
 * @param {Plot} plot @param {FanChartOptions} options @param {(name: string) => string} colour
 */
function drawMarks(plot, options, colour) {
  const { ctx, bbox } = plot
  const ratio = devicePixelRatio
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  ctx.font = `${12 * ratio}px system-ui, sans-serif`
  ctx.textBaseline = 'top'
  ctx.textAlign = 'left'
  ctx.lineWidth = ratio
  const marks = options.marks ?? []
  for (const [index, mark] of marks.entries()) {
    const left = plot.valToPos(mark.at, 'x', true)
    const next = marks[index + 1]
    const room = (next === undefined ? bbox.left + bbox.width : plot.valToPos(next.at, 'x', true)) - left
    ctx.strokeStyle = colour('--rule')
    ctx.beginPath()
    ctx.moveTo(left, bbox.top)
    ctx.lineTo(left, bbox.top + bbox.height)
    ctx.stroke()
    ctx.fillStyle = colour('--ink-soft')
    const text = fitted(ctx, mark.name, room - 10 * ratio)
    ctx.fillText(text, left + 5 * ratio, bbox.top + 3 * ratio)
  }
  for (const { value, name } of options.limits ?? []) {
    const top = plot.valToPos(value, 'y', true)
    if (top < bbox.top || top > bbox.top + bbox.height) continue
    ctx.strokeStyle = colour('--ink-soft')
    ctx.setLineDash([ratio, 3 * ratio])
    ctx.beginPath()
    ctx.moveTo(bbox.left, top)
    ctx.lineTo(bbox.left + bbox.width, top)
    ctx.stroke()
    ctx.setLineDash([])
    ctx.fillStyle = colour('--ink-soft')
    ctx.textAlign = 'right'
    ctx.fillText(name, bbox.left + bbox.width - 4 * ratio, top + 3 * ratio)
    ctx.textAlign = 'left'
  }
  ctx.restore()
}

/** @param {CanvasRenderingContext2D} ctx @param {string} text @param {number} room */
function fitted(ctx, text, room) {
  if (ctx.measureText(text).width <= room) return text
  for (let length = text.length - 1; length > 1; length -= 1) {
    const cut = `${text.slice(0, length).trimEnd()}…`
    if (ctx.measureText(cut).width <= room) return cut
  }
  return ''
}

/** @param {Plot} plot @param {ShareChartOptions} options @param {(name: string) => string} colour */
function drawShares(plot, options, colour) {
  const { ctx, bbox } = plot
  const zero = plot.valToPos(0, 'y', true)
  const cell = Math.max(devicePixelRatio, bbox.width / options.x.length)
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  const hatch = hatching(ctx, colour('--cool'))
  for (const [index, x] of options.x.entries()) {
    const left = plot.valToPos(x, 'x', true) - cell / 2
    const heat = options.heat[index] ?? 0
    const cool = options.cool[index] ?? 0
    ctx.fillStyle = colour('--heat')
    ctx.fillRect(left, zero - (heat * bbox.height) / 2, cell + 0.5, (heat * bbox.height) / 2)
    ctx.fillStyle = hatch
    ctx.fillRect(left, zero, cell + 0.5, (cool * bbox.height) / 2)
  }
  ctx.restore()
}

/** @param {CanvasRenderingContext2D} ctx @param {string} colour @returns {CanvasPattern | string} */
function hatching(ctx, colour) {
  const size = Math.round(6 * devicePixelRatio)
  const tile = document.createElement('canvas')
  tile.width = size
  tile.height = size
  const pen = tile.getContext('2d')
  if (pen === null) return colour
  pen.strokeStyle = colour
  pen.lineWidth = 1.6 * devicePixelRatio
  for (const shift of [-size, 0, size]) {
    pen.beginPath()
    pen.moveTo(shift, size)
    pen.lineTo(shift + size, 0)
    pen.stroke()
  }
  return ctx.createPattern(tile, 'repeat') ?? colour
}

/** @param {Plot} plot @param {FanChartOptions} options */
function sayFan(plot, options) {
  const index = plot.cursor.idx
  if (index === null || index === undefined) return
  const { fan, digits, unit, readout } = options
  const x = options.x[index]
  const middle = fan.p50[index]
  if (x === undefined) return
  /** @param {Column} low @param {Column} high */
  const between = (low, high) => {
    const [from, to] = [low[index], high[index]]
    return from === null || from === undefined || to === null || to === undefined
      ? 'no figures'
      : `${from.toFixed(digits)} to ${to.toFixed(digits)}`
  }
  const target = options.target?.[index]
  const parts =
    middle === null || middle === undefined
      ? ['no run is here']
      : [
          `median ${middle.toFixed(digits)}${unit}`,
          `half of the runs ${between(fan.p25, fan.p75)}`,
          `nine in ten ${between(fan.p5, fan.p95)}`,
          ...(target === null || target === undefined ? [] : [`target ${target.toFixed(digits)}`]),
        ]
  readout.textContent = `${options.sayX(x)}: ${parts.join('; ')}`
}

/** @param {Plot} plot @param {ShareChartOptions} options */
function sayShares(plot, options) {
  const index = plot.cursor.idx
  const x = index === null || index === undefined ? undefined : options.x[index]
  if (x === undefined || index === null || index === undefined) return
  /** @param {Column} shares */
  const percent = shares => `${Math.round((shares[index] ?? 0) * 100)} %`
  options.readout.textContent = `${options.sayX(x)}: heating ${percent(options.heat)} and cooling ${percent(options.cool)} of the time`
}
