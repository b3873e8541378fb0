import type { ChannelState } from '../engine/contract.ts'
import { listChannels } from '../vessel/channels.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Channel, Instrument } from '../vessel/vessel.ts'
import type { Plant, PlantChannel, PlantInstrument } from '../world/plant.ts'
import type { FromNow } from './from-now.ts'

const HOUR_S = 3600
const DAY_S = 86_400
/** Where nothing is said about an instrument; judgement (common practice, no source). */
const USUAL_SD = { gravity: 0.002, beer: 0.5 } as const
/** Standard deviation of the median of n readings against that of their mean, for many normal ones. */
const MEDIAN_TO_MEAN = Math.sqrt(Math.PI / 2)

/** What is believed of one quantity, and how well it is known. */
export interface Known {
  readonly value: number
  /** To be expected of the value: taken off it. */
  readonly bias: number
  readonly sd: number
  /** The beer has moved on since. */
  readonly age_h: number
  /** Further standard deviation at the height of fermentation. */
  readonly foam: number
}

export interface Believed {
  readonly gravity: Known | null
  readonly beer: Known | null
}

/** The present gravity and temperature with their uncertainties. */
export function believedNow(from: FromNow): Believed {
  const { gravity, gravity_sd, beer_C, beer_sd_K } = from.present
  const { program } = from.setup
  return {
    gravity: known(from, program.gravity, gravity, gravity_sd, USUAL_SD.gravity),
    beer: known(from, program.beer, beer_C, beer_sd_K, USUAL_SD.beer),
  }
}

function known(
  from: FromNow,
  quantity: number,
  value: number | null,
  given_sd: number | undefined,
  usual_sd: number,
): Known | null {
  if (value === null) return null
  if (given_sd !== undefined)
    return { value, bias: 0, sd: Math.max(given_sd, usual_sd / 100), age_h: 0, foam: 0 }
  const number = from.present.state.inCharge[quantity] ?? -1
  const entry = listChannels(from.setup.vessel)[number]
  if (entry === undefined) return { value, bias: 0, sd: usual_sd, age_h: 0, foam: 0 }
  const { channel } = entry
  const channelState = from.present.state.channels[number]!
  const readings = channelState.recent.length
  const sd = Math.hypot(biasSd(channel, ageOf_d(from)), noiseSd(channel, readings))
  return {
    value,
    bias: channel.bias.value,
    sd: Math.max(sd, usual_sd / 100),
    age_h: age_h(from.present.now_s, channelState, entry.instrument),
    foam: channel.foam * ofMedian(readings),
  }
}

export interface TrueNow {
  readonly beer_C: number
  readonly gravity: number
  readonly fall_per_h: number
  /** 0 to 1. */
  readonly foaming: number
}

/**
 * The errors of the instruments now, and the cabinet's air as they show it (null: unknown). A channel that has a recent
 * reading is as wrong as the difference between that reading and the truth says, as far as noise does not explain it
 * (product of two normal distributions); the others are as drawn. Each instrument keeps the rhythm of its reports.
 *
 * @param normal standard normal draws; in the nominal run zeros
 */
export function adaptInstruments(
  from: FromNow,
  plant: Plant,
  truth: TrueNow,
  normal: () => number,
): {
  readonly errors: Pick<Plant, 'channels' | 'instruments'>
  readonly air_C: number | null
} {
  const { vessel } = from.setup
  const { channels: states, inCharge } = from.present.state
  const { now_s } = from.present
  const days = ageOf_d(from)
  const entries = listChannels(vessel)
  let air_C: number | null = null
  const channels = entries.map(({ channel, instrument, number }): PlantChannel => {
    const drawn = plant.channels[number]!
    const asDrawn = drawn.bias + drawn.drift_per_day * days
    const { value, at_s, recent } = states[number]!
    const isRecent = value !== null && at_s !== null && now_s - at_s < silenceAllowed_s(instrument)
    if (isRecent && number === inCharge[from.setup.program.air]) air_C = value - asDrawn
    const really = trueValue(channel, truth, age_h(now_s, states[number]!, instrument))
    if (!isRecent || really === null) return { ...drawn, bias: asDrawn }
    const bias_sd = biasSd(channel, days)
    const noise_sd = Math.hypot(
      noiseSd(channel, recent.length),
      channel.foam * ofMedian(recent.length) * truth.foaming,
    )
    const total = bias_sd ** 2 + noise_sd ** 2
    const gain = total === 0 ? 0 : bias_sd ** 2 / total
    const bias =
      channel.bias.value +
      gain * (value - really - channel.bias.value) +
      Math.sqrt(gain) * noise_sd * normal()
    return { ...drawn, bias }
  })
  const instruments = plant.instruments.map((drawn, number): PlantInstrument => {
    const { every_s } = vessel.instruments[number]!
    const own = entries.filter(({ instrument }) => instrument === vessel.instruments[number])
    const last_s = Math.max(...own.map(entry => latest_s(states[entry.number])))
    if (!Number.isFinite(last_s)) return drawn
    const period_s = Math.max(1, Math.round(every_s))
    // The report that is due now has been heard.
    return { ...drawn, phase_s: period_s - (Math.max(0, Math.floor(now_s - last_s)) % period_s) }
  })
  return { errors: { channels, instruments }, air_C }
}

/** What a channel should have read so long ago. */
function trueValue(
  { quantity, sits }: Channel,
  { beer_C, gravity, fall_per_h }: TrueNow,
  age_h: number,
): number | null {
  if (quantity === 'gravity') return gravity + fall_per_h * age_h
  return quantity === 'beer' && sits === 'beer' ? beer_C : null
}

function latest_s(state: ChannelState | undefined): number {
  return state?.at_s ?? Number.NEGATIVE_INFINITY
}

/** Of bias and drift. */
function biasSd({ bias, drift_per_day }: Channel, days: number): number {
  return Math.hypot(bias.sd, drift_per_day * days)
}

/** Of the median of so many readings; a resolution counts as the uniform distribution over one step. */
function noiseSd({ noise, resolution }: Channel, readings: number): number {
  return Math.hypot(noise * ofMedian(readings), resolution / Math.sqrt(12))
}

function ofMedian(readings: number): number {
  return readings < 3 ? 1 : MEDIAN_TO_MEAN / Math.sqrt(readings)
}

/** A median of several readings speaks of the middle one. */
function age_h(now_s: number, { at_s, recent }: ChannelState, { every_s }: Instrument): number {
  const behind_s = (Math.max(0, recent.length - 1) / 2) * every_s
  return at_s === null ? 0 : (now_s - at_s + behind_s) / HOUR_S
}

function ageOf_d({ present, pitched_s }: FromNow): number {
  return Math.max(0, present.now_s - pitched_s) / DAY_S
}
