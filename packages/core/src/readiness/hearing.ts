import { formatDifference, formatDuration, formatTemperature } from '../units/format.ts'
import { listChannels, type NumberedChannel } from '../vessel/channels.ts'
import { isPowerOnValue, reachOf } from '../vessel/reach.ts'
import { silenceAllowed_s } from '../vessel/timeout.ts'
import type { Instrument } from '../vessel/vessel.ts'
import type { Check, LatestReading, ReadinessCase } from './check.ts'
import { apart_K } from './float-bounds.ts'

/** The value of a channel that is believable and not too old; null: there is none. */
export function freshValue(given: ReadinessCase, numbered: NumberedChannel) {
  const reading = freshReading(given, numbered)
  return reading === null || isOdd(given, numbered, reading.value) ? null : reading.value
}

function freshReading(
  { latest, now_s }: ReadinessCase,
  { number, instrument, channel }: NumberedChannel,
): LatestReading | null {
  const reading = latest[number] ?? null
  if (reading === null || reading.status !== 'good') return null
  if (now_s - reading.at_s >= silenceAllowed_s(instrument)) return null
  return reading.value >= channel.lowest && reading.value <= channel.highest ? reading : null
}

/** What the engine would not believe either, at first: beyond what the vessel can do, or what a chip says that has not measured. */
function isOdd({ vessel, beer }: ReadinessCase, { channel }: NumberedChannel, value: number): boolean {
  if (channel.unit !== '°C') return false
  const asked_C =
    beer === null ? [] : [beer.startsAt_C.value, beer.yeast?.comfort_C.highest ?? beer.startsAt_C.value]
  const { lowest, highest } = reachOf(vessel, channel.quantity, asked_C)
  return isPowerOnValue(value) || value < lowest || value > highest
}

/** The thermometers in the beer that report by themselves, the most trusted first. */
export function beerThermometers({ vessel }: ReadinessCase): readonly NumberedChannel[] {
  const trusted = vessel.trust.beer ?? []
  const rank = ({ instrument }: NumberedChannel) => {
    const place = trusted.indexOf(instrument.name)
    return place < 0 ? trusted.length : place
  }
  return listChannels(vessel)
    .filter(({ channel, instrument }) => channel.quantity === 'beer' && !instrument.byHand)
    .toSorted((a, b) => rank(a) - rank(b))
}

/** Without it nothing heats or cools. */
export function checkBeerProbe(given: ReadinessCase): Check {
  const code = 'beer-probe-heard'
  const title = 'The temperature of the beer is known'
  const probes = beerThermometers(given)
  const heard = probes.find(probe => freshValue(given, probe) !== null)
  if (heard !== undefined) {
    const value = formatTemperature(freshValue(given, heard)!, given.units)
    return { code, title, state: 'ok', sentence: `${heard.instrument.name} reads ${value}.` }
  }
  const [first] = probes
  const sentence =
    first === undefined
      ? 'No instrument of the vessel reports the temperature of the beer by itself: nothing would heat or cool.'
      : `${sayUnheard(given, first)} Without it nothing heats or cools.`
  return { code, title, state: 'not yet', sentence }
}

/** Every instrument that reports by itself. */
export function checkInstruments(given: ReadinessCase): Check | null {
  const code = 'instruments-heard'
  const title = 'All instruments are heard'
  const channels = listChannels(given.vessel).filter(({ instrument }) => !instrument.byHand)
  if (channels.length === 0) return null
  const silent = channels.filter(channel => freshValue(given, channel) === null)
  const names = new Set(silent.map(({ instrument }) => instrument.name))
  if (names.size === 0) {
    const count = new Set(channels.map(({ instrument }) => instrument.name)).size
    const sentence = count === 1 ? 'The only instrument is heard.' : `All ${count} instruments are heard.`
    return { code, title, state: 'ok', sentence }
  }
  const firstOfEach = [...names].map(name => silent.find(({ instrument }) => instrument.name === name)!)
  return {
    code,
    title,
    state: 'not yet',
    sentence: firstOfEach.map(channel => sayUnheard(given, channel)).join(' '),
  }
}

/** Two thermometers in the same wort. With one alone there is nothing to compare. */
export function checkAgreement(given: ReadinessCase): Check | null {
  const code = 'temperatures-agree'
  const title = 'The thermometers in the beer agree'
  const probes = beerThermometers(given)
  const [one, other] = probes.filter(probe => freshValue(given, probe) !== null)
  if (probes.length < 2) return null
  if (one === undefined || other === undefined) {
    const sentence = 'Fewer than two of them are heard: nothing can be compared.'
    return { code, title, state: 'unknown', sentence }
  }
  const values = [freshValue(given, one)!, freshValue(given, other)!] as const
  const allowed_K = apart_K(one.channel, other.channel)
  const [first, second] = values.map(value => formatTemperature(value, given.units))
  const both = `${one.instrument.name} reads ${first} and ${other.instrument.name} ${second}`
  if (Math.abs(values[0] - values[1]) <= allowed_K) {
    return { code, title, state: 'ok', sentence: `${both}.` }
  }
  const allowed = formatDifference(allowed_K, given.units)
  const sentence = `${both}: in the same wort they would differ by ${allowed} at most. Look where each of them is.`
  return { code, title, state: 'warning', sentence }
}

function sayUnheard(given: ReadinessCase, { number, instrument, channel }: NumberedChannel): string {
  const reading = given.latest[number] ?? null
  if (reading === null) return `${instrument.name} has never been heard.`
  const age_s = given.now_s - reading.at_s
  if (age_s >= silenceAllowed_s(instrument)) return saySilent(instrument, age_s)
  if (freshReading(given, { number, instrument, channel }) !== null && channel.unit === '°C') {
    const what = `${instrument.name} reads ${formatTemperature(reading.value, given.units)}`
    if (isPowerOnValue(reading.value)) {
      return `${what}, which is what such a chip says before it has measured: look at its wires and at its power.`
    }
    if (isOdd(given, { number, instrument, channel }, reading.value)) {
      return `${what}, which this vessel cannot have: look where it is, and at its wires.`
    }
  }
  return `${instrument.name} gives no ${channel.quantity} that can be believed.`
}

function saySilent(instrument: Instrument, age_s: number): string {
  return `${instrument.name} has been silent for ${formatDuration(age_s)}; it should report every ${formatDuration(instrument.every_s)}.`
}
