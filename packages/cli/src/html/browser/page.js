/**
 * Starts the charts of a rehearsal's page: reads the data that the page carries, and draws each chart into its element.
 *
 * @typedef {import('./charts.js').Fan} Fan
 * @typedef {object} PageData
 * @property {boolean} days whether time is told in days, or in hours
 * @property {readonly number[]} time_h
 * @property {Fan} temperature
 * @property {readonly (number | null)[]} target
 * @property {Fan} gravity
 * @property {readonly (number | null)[]} heat
 * @property {readonly (number | null)[]} cool
 * @property {{ x: readonly number[], fan: Fan, target: readonly (number | null)[] }} path
 * @property {readonly import('./charts.js').Mark[]} stages
 * @property {readonly { value: number, name: string }[]} limits
 * @property {{ temperature: string, gravity: string, gravityDigits: number }} units
 */
import { fanChart, shareChart } from './charts.js'

/** @param {string} id */
function element(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id))
}

/** @param {PageData} data */
function draw(data) {
  const library = /** @type {import('./charts.js').PlotLibrary} */ (/** @type {any} */ (globalThis).uPlot)
  const hoursPerTick = data.days ? [24, 48, 72, 96, 120, 168, 240, 336, 720] : [0.25, 0.5, 1, 2, 3, 6, 12]
  const time = {
    x: data.time_h,
    stepsX: hoursPerTick,
    sync: 'time',
    /** @param {number} x */
    tickX: x => (data.days ? `day ${Math.round(x / 24)}` : `${x} h`),
    /** @param {number} x */
    sayX: x => (data.days ? `Day ${(x / 24).toFixed(1)}` : `After ${x.toFixed(2)} h`),
  }
  const wide = innerWidth > 700
  fanChart(library, element('chart-temperature'), {
    ...time,
    fan: data.temperature,
    target: data.target,
    look: 'temperature',
    height: wide ? 300 : 240,
    digits: 1,
    unit: ` ${data.units.temperature}`,
    marks: data.stages,
    limits: data.limits,
    readout: element('readout-temperature'),
  })
  if (document.getElementById('chart-shares') !== null) {
    shareChart(library, element('chart-shares'), {
      ...time,
      heat: data.heat,
      cool: data.cool,
      height: 110,
      readout: element('readout-shares'),
    })
  }
  if (document.getElementById('chart-gravity') === null) return
  const gravity = {
    digits: data.units.gravityDigits,
    unit: data.units.gravity === '' ? '' : ` ${data.units.gravity}`,
  }
  fanChart(library, element('chart-gravity'), {
    ...time,
    ...gravity,
    fan: data.gravity,
    look: 'gravity',
    height: wide ? 240 : 200,
    readout: element('readout-gravity'),
  })
  fanChart(library, element('chart-path'), {
    x: data.path.x,
    fan: data.path.fan,
    target: data.path.target,
    falling: true,
    look: 'temperature',
    height: wide ? 300 : 240,
    digits: 1,
    unit: ` ${data.units.temperature}`,
    tickX: x => x.toFixed(data.units.gravityDigits === 3 ? 3 : 1),
    sayX: x => `At ${x.toFixed(gravity.digits)}${gravity.unit}`,
    readout: element('readout-path'),
  })
}

draw(JSON.parse(element('data').textContent ?? ''))
