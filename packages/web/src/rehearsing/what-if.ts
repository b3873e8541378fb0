/**
 * What can be tried on a vessel and its beer with a slider: which value it is, between which ends, and how the text says it.
 * Values are in the units of the files: °C, W, specific gravity.
 */
import type { Beer } from '@attemper/core/beer/beer.ts'
import type { SourceMapping } from '@attemper/core/source-text/source-node.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import {
  formatDifference,
  formatGravity,
  formatGravityDifference,
  formatNumber,
  formatTemperature,
} from '@attemper/core/units/format.ts'
import type { Channel, Instrument, Vessel } from '@attemper/core/vessel/vessel.ts'
import type { Step } from './text-value.ts'

export interface Slider {
  /** Stable, for the page. */
  readonly id: string
  readonly title: string
  readonly part: 'vessel' | 'beer'
  readonly path: readonly Step[]
  readonly value: number
  readonly least: number
  readonly most: number
  readonly step: number
  /** As the text says it. */
  readonly write: (value: number) => string
  readonly say: (value: number, units: DisplayUnits) => string
}

/**
 * The same sliders between the ends that they had before: a range that grows with its value runs away under the finger that
 * drags it. Ends are found anew for a value that lies beyond them, as when it was written into the text.
 */
export function steadySliders(sliders: readonly Slider[], before: readonly Slider[]): readonly Slider[] {
  return sliders.map(slider => {
    const known = before.find(({ id }) => id === slider.id)
    if (known === undefined || slider.value < known.least || slider.value > known.most) return slider
    return { ...slider, least: known.least, most: known.most, step: known.step }
  })
}

const POWER_STEPS_W = [1, 5, 10, 50, 100, 500]

/** Those that this vessel and this beer have, in the order in which a brewer would ask. */
export function slidersFor(vessel: Vessel, beer: Beer): readonly Slider[] {
  return [
    ...(vessel.heater === undefined ? [] : [power('heater', vessel.heater.power_W.value)]),
    ...(vessel.cooler === undefined ? [] : [power('cooler', vessel.cooler.power_W.value)]),
    {
      id: 'room',
      title: 'Room, on average',
      part: 'vessel',
      path: ['room', 'average'],
      value: vessel.room.mean_C.value,
      least: -5,
      most: 38,
      step: 0.5,
      write: value => `${value} °C`,
      say: (value, units) => formatTemperature(value, units),
    },
    {
      id: 'swing',
      title: 'Room, by day and night',
      part: 'vessel',
      path: ['room', 'daily swing'],
      value: vessel.room.swing_K.value,
      least: 0,
      most: 12,
      step: 0.5,
      write: value => `${value} °C`,
      say: (value, units) => `± ${formatDifference(value, units)}`,
    },
    ...(beer.yeast === undefined ? [] : yeastSliders(beer, beer.yeast.vigour.value)),
    ...noiseOf(vessel, 'beer', 'Noise of the probe', 1, 0.01, (value, units) =>
      formatDifference(value, units, 2),
    ),
    ...(beer.yeast === undefined
      ? []
      : noiseOf(vessel, 'gravity', 'Noise of the float', 0.006, 0.0001, (value, units) =>
          formatGravityDifference(value, units, 1),
        )),
  ]
}

function power(appliance: 'heater' | 'cooler', value: number): Slider {
  const wide = Math.max(100, value * 2.5)
  const step = POWER_STEPS_W.findLast(each => each <= wide / 40) ?? 1
  return {
    id: appliance,
    title: appliance === 'heater' ? 'Heater' : 'Cooler',
    part: 'vessel',
    path: [appliance, 'power'],
    value,
    least: step,
    most: Math.ceil(wide / step) * step,
    step,
    write: watts => `${watts} W`,
    say: watts => `${formatNumber(watts, 0)} W`,
  }
}

function yeastSliders(beer: Beer, vigour: number): readonly Slider[] {
  const step = 0.001
  return [
    {
      id: 'vigour',
      title: 'Speed of the yeast',
      part: 'beer',
      path: ['yeast', 'vigour'],
      value: vigour,
      least: 0.4,
      most: 2,
      step: 0.05,
      write: factor => formatNumber(factor, 2),
      say: factor => (factor === 1 ? 'as usual' : `${formatNumber(factor, 2)} times the usual`),
    },
    {
      id: 'final gravity',
      title: 'Expected final gravity',
      part: 'beer',
      path: ['final gravity'],
      value: beer.finalGravity.value,
      least: 0.996,
      most: Math.round((beer.originalGravity - 0.01) / step) * step,
      step,
      write: gravity => gravity.toFixed(3),
      say: (gravity, units) => formatGravity(gravity, units),
    },
  ]
}

/** Of the instrument that is trusted first for a quantity, unless a person reads it. */
function noiseOf(
  vessel: Vessel,
  quantity: 'beer' | 'gravity',
  title: string,
  most: number,
  step: number,
  say: Slider['say'],
): readonly Slider[] {
  const name = vessel.trust[quantity]?.[0]
  const instrument = vessel.instruments.find(each => each.name === name)
  const channel = instrument?.channels.find(each => each.quantity === quantity)
  if (instrument === undefined || channel === undefined || instrument.byHand) return []
  return [noiseSlider(instrument, channel, { title, most, step, say })]
}

function noiseSlider(
  instrument: Instrument,
  channel: Channel,
  { title, most, step, say }: Pick<Slider, 'title' | 'most' | 'step' | 'say'>,
): Slider {
  const isIt = ({ entries }: SourceMapping) =>
    entries.some(
      ({ key, value }) => key === 'instrument' && value.kind === 'scalar' && value.text === instrument.name,
    )
  return {
    id: `${channel.quantity} noise`,
    title,
    part: 'vessel',
    path: ['instruments', isIt, 'measures', channel.quantity, 'noise'],
    value: channel.noise,
    least: 0,
    most: Math.max(most, channel.noise),
    step,
    write: value =>
      channel.quantity === 'gravity'
        ? `${formatNumber(value * 1000, 1)} points`
        : `${formatNumber(value, 2)} °C`,
    say,
  }
}
