/**
 * Quantities in words. Everything comes in as SI, °C, specific gravity or a share, and is converted here and nowhere else.
 *
 * A measured value gets no more digits than an ordinary instrument is worth: a tenth of a degree, a thousandth of
 * specific gravity. A value that a person wrote is said back `as written`. What is not a number is 'unknown'.
 */
import { platoFromSg } from '../formulas/gravity.ts'
import type { DisplayUnits } from './display.ts'

/** A fixed number of decimals; or as many as the value needs, no trailing zeros. */
export type Precision = number | 'as written'

const UNKNOWN = 'unknown'
const MOST_DECIMALS = 4
const LITRES_PER_GALLON = 3.785411784
const MINUTE_s = 60
const HOUR_s = 3600
const DAY_s = 86_400

function asWritten(value: number): string {
  const rounded = Number(value.toFixed(MOST_DECIMALS))
  return String(Math.abs(value) < 0.01 ? Number(value.toPrecision(3)) : rounded)
}

/** A number, without a unit. 'As written' forgives the rounding of a conversion, up to four decimals. */
export function formatNumber(value: number, precision: Precision = 'as written'): string {
  if (!Number.isFinite(value)) return UNKNOWN
  const text = precision === 'as written' ? asWritten(value) : value.toFixed(precision)
  return Number(text) === 0 ? text.replace('-', '') : text
}

function withUnit(value: number, precision: Precision, unit: string): string {
  return Number.isFinite(value) ? `${formatNumber(value, precision)} ${unit}` : UNKNOWN
}

/** "18.4 °C" or "65.1 °F". */
export function formatTemperature(t_C: number, units: DisplayUnits, precision: Precision = 1): string {
  return units.temperature === 'C'
    ? withUnit(t_C, precision, '°C')
    : withUnit(t_C * 1.8 + 32, precision, '°F')
}

/** A temperature difference: 1 K is "1.0 °C" or "1.8 °F". */
export function formatDifference(d_K: number, units: DisplayUnits, precision: Precision = 1): string {
  return units.temperature === 'C' ? withUnit(d_K, precision, '°C') : withUnit(d_K * 1.8, precision, '°F')
}

/** "1.012" or "3.1 °P". As written: never fewer than three decimals of specific gravity. */
export function formatGravity(gravity: number, units: DisplayUnits, precision?: Precision): string {
  if (!Number.isFinite(gravity)) return UNKNOWN
  if (units.gravity === 'P') {
    const plato = platoFromSg(gravity)
    return withUnit(precision === 'as written' ? toHundredths(plato) : plato, precision ?? 1, '°P')
  }
  if (precision !== 'as written') return formatNumber(gravity, precision ?? 3)
  const short = formatNumber(gravity)
  const fixed = gravity.toFixed(3)
  return short.length > fixed.length ? short : fixed
}

/**
 * "10 points": a point is 0.001 of specific gravity. Or "2.6 °P", counted from 0 °P upwards as when it is read (at 12 °P
 * the same difference of specific gravity is 7 % less in °P).
 */
export function formatGravityDifference(
  difference: number,
  units: DisplayUnits,
  precision: Precision = 'as written',
): string {
  if (!Number.isFinite(difference)) return UNKNOWN
  if (units.gravity === 'P') {
    const plato = Math.sign(difference) * platoFromSg(1 + Math.abs(difference))
    return withUnit(precision === 'as written' ? toHundredths(plato) : plato, precision, '°P')
  }
  const points = difference * 1000
  const text = formatNumber(precision === 'as written' ? toHundredths(points) : points, precision)
  return `${text} ${Math.abs(Number(text)) === 1 ? 'point' : 'points'}`
}

/** What was computed by a conversion is not worth more. */
function toHundredths(value: number): number {
  return Number(value.toFixed(2))
}

/** "20 L" or "5.3 gal". */
export function formatVolume(volume_L: number, units: DisplayUnits, precision: Precision = 1): string {
  return units.volume === 'L'
    ? withUnit(volume_L, precision, 'L')
    : withUnit(volume_L / LITRES_PER_GALLON, precision, 'gal')
}

/** A share from 0 to 1: "75 %". */
export function formatPercent(share: number, precision: Precision = 0): string {
  return withUnit(share * 100, precision, '%')
}

interface TimeUnit {
  readonly length_s: number
  readonly sign: string
  readonly word: string
}

const TIME_UNITS: readonly TimeUnit[] = [
  { length_s: DAY_s, sign: 'd', word: 'day' },
  { length_s: HOUR_s, sign: 'h', word: 'hour' },
  { length_s: MINUTE_s, sign: 'min', word: 'minute' },
  { length_s: 1, sign: 's', word: 'second' },
]

/** Whole units from the largest down; less than two hours, two minutes are said in minutes, seconds. */
function partsOf(duration_s: number): readonly (readonly [number, TimeUnit])[] {
  const parts: (readonly [number, TimeUnit])[] = []
  let rest_s = duration_s
  for (const unit of TIME_UNITS) {
    const smaller = unit.length_s === HOUR_s || unit.length_s === MINUTE_s
    if (smaller && parts.length === 0 && rest_s < 2 * unit.length_s && rest_s % unit.length_s !== 0) continue
    const count = unit.length_s === 1 ? rest_s : Math.floor(rest_s / unit.length_s)
    if (count > 0) parts.push([count, unit])
    rest_s -= count * unit.length_s
  }
  return parts
}

/** To whole minutes above ten minutes, to whole hours above two days: what a brewer would say of a measured time. */
function roundedDuration_s(duration_s: number): number {
  const step_s = duration_s >= 2 * DAY_s ? HOUR_s : duration_s >= 10 * MINUTE_s ? MINUTE_s : 1
  return Math.round(duration_s / step_s) * step_s
}

/** "3 d", "1 d 12 h", "90 min", "45 s". Rounded to what matters at that length, unless it was written by a person. */
export function formatDuration(duration_s: number, precision?: 'as written'): string {
  if (!Number.isFinite(duration_s)) return UNKNOWN
  if (duration_s < 0) return `-${formatDuration(-duration_s, precision)}`
  const parts = partsOf(precision === 'as written' ? duration_s : roundedDuration_s(duration_s))
  return parts.length === 0 ? '0 s' : parts.map(([count, unit]) => `${count} ${unit.sign}`).join(' ')
}

/** "3 days", "1 day and 12 hours", "90 minutes": a duration as somebody wrote it, nothing rounded but split seconds. */
export function spellDuration(duration_s: number): string {
  if (!Number.isFinite(duration_s)) return UNKNOWN
  if (duration_s < 0) return `minus ${spellDuration(-duration_s)}`
  const words = partsOf(duration_s).map(([count, unit]) => {
    const number = formatNumber(count)
    return `${number} ${unit.word}${number === '1' ? '' : 's'}`
  })
  const last = words.pop()
  if (last === undefined) return '0 seconds'
  return words.length === 0 ? last : `${words.join(', ')} and ${last}`
}

/** The unit of time in which a rate, per s, is the shortest number; hours when that does not decide. */
function timeUnitOfRate(rate_per_s: number, candidates: readonly TimeUnit[]): TimeUnit {
  const awkwardness = (unit: TimeUnit): number => {
    const number = rate_per_s * unit.length_s
    const text = formatNumber(number)
    const exact = Math.abs(Number(text) - number) <= 1e-9 * Math.abs(number)
    return text.replace(/[-.]/g, '').length + (exact ? 0 : 10) + (Math.abs(number) < 0.1 ? 5 : 0)
  }
  return candidates.reduce((best, unit) => (awkwardness(unit) < awkwardness(best) ? unit : best))
}

const [DAY, HOUR, MINUTE] = TIME_UNITS as readonly [TimeUnit, TimeUnit, TimeUnit, TimeUnit]

/** A temperature rate: "1 °C/h", "2 °C/d", "1.5 °C/min", in the unit of time that makes the shortest number. */
export function formatRate(rate_K_per_s: number, units: DisplayUnits): string {
  if (!Number.isFinite(rate_K_per_s)) return UNKNOWN
  const shown_per_s = units.temperature === 'C' ? rate_K_per_s : rate_K_per_s * 1.8
  const unit = timeUnitOfRate(shown_per_s, [HOUR, DAY, MINUTE])
  return `${formatNumber(shown_per_s * unit.length_s)} °${units.temperature}/${unit.sign}`
}

/** A rate of change of gravity: "2 points a day", "1 point an hour". */
export function formatGravityRate(rate_per_s: number, units: DisplayUnits): string {
  if (!Number.isFinite(rate_per_s)) return UNKNOWN
  const unit = timeUnitOfRate(rate_per_s * 1000, [DAY, HOUR])
  const difference = formatGravityDifference(rate_per_s * unit.length_s, units)
  return `${difference} ${unit === HOUR ? 'an' : 'a'} ${unit.word}`
}

/**
 * Time of day, "14:05" or "2:05 pm", from the seconds since a local midnight (of any day). Cut off, not rounded, as a
 * clock does.
 */
export function formatClock(local_s: number, { clock = '24 h' }: Pick<DisplayUnits, 'clock'> = {}): string {
  if (!Number.isFinite(local_s)) return UNKNOWN
  const minutes = Math.floor((((local_s % DAY_s) + DAY_s) % DAY_s) / MINUTE_s)
  const two = (n: number): string => String(n).padStart(2, '0')
  const hour = Math.floor(minutes / 60)
  if (clock === '24 h') return `${two(hour)}:${two(minutes % 60)}`
  return `${hour % 12 === 0 ? 12 : hour % 12}:${two(minutes % 60)} ${hour < 12 ? 'am' : 'pm'}`
}

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]

/**
 * A date, "1 December 2026", from seconds since 1970-01-01T00:00 on a local clock. Days are counted from a first of
 * March, so that the leap day comes last (the usual proleptic Gregorian arithmetic; no clock or zone is asked).
 */
export function formatDate(local_s: number): string {
  if (!Number.isFinite(local_s)) return UNKNOWN
  const shifted = Math.floor(local_s / DAY_s) + 719_468
  const era = Math.floor(shifted / 146_097)
  const dayOfEra = shifted - era * 146_097
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  )
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100))
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153)
  const day = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1
  const month = (monthFromMarch + 2) % 12
  const year = yearOfEra + era * 400 + (month < 2 ? 1 : 0)
  return `${day} ${MONTHS[month]} ${year}`
}

/**
 * A moment, told from pitching. With the local time of pitching: "day 3, 14:05", the day of pitching being day 1.
 * Without it: "after 62 h", or "after 45 min" at the beginning. Before pitching: "2 h before pitching".
 */
export function formatMoment(
  sincePitch_s: number,
  pitchedAtLocal_s?: number,
  units: Pick<DisplayUnits, 'clock'> = {},
): string {
  if (!Number.isFinite(sincePitch_s)) return UNKNOWN
  if (sincePitch_s < 0) return `${formatDuration(-sincePitch_s)} before pitching`
  if (pitchedAtLocal_s !== undefined) {
    const local_s = pitchedAtLocal_s + sincePitch_s
    const day = Math.floor(local_s / DAY_s) - Math.floor(pitchedAtLocal_s / DAY_s) + 1
    return `day ${day}, ${formatClock(local_s, units)}`
  }
  if (sincePitch_s < 2 * HOUR_s) return `after ${Math.round(sincePitch_s / MINUTE_s)} min`
  return `after ${Math.round(sincePitch_s / HOUR_s)} h`
}

/** Pressure: "1.2 bar" or "950 Pa". Over the atmosphere or absolute: as the instrument that measured it. */
function formatPressure(pressure_Pa: number, precision: Precision): string {
  const inBar = Math.abs(pressure_Pa) >= 1000
  if (precision === 'as written') {
    return inBar ? withUnit(pressure_Pa / 1e5, precision, 'bar') : withUnit(pressure_Pa, precision, 'Pa')
  }
  return inBar ? withUnit(pressure_Pa / 1e5, 2, 'bar') : withUnit(pressure_Pa, 0, 'Pa')
}

/**
 * A value of any measured quantity, in the quantity's own unit (see Condition in plan/plan.ts). `unit` is that of the
 * vessel's channel, and decides for quantities whose name says nothing.
 */
export function formatQuantity(
  quantity: string,
  value: number,
  units: DisplayUnits,
  options: { readonly unit?: string | undefined; readonly precision?: 'as written' } = {},
): string {
  const { unit, precision } = options
  switch (quantity) {
    case 'beer':
    case 'air':
    case 'room':
      return formatTemperature(value, units, precision)
    case 'gravity':
    case 'forecast final gravity':
      return formatGravity(value, units, precision)
    case 'pressure':
      return formatPressure(value, precision ?? 2)
    case 'humidity':
      return formatPercent(value, precision)
    case 'power':
      return withUnit(value, precision ?? 0, 'W')
    case 'pH':
      return formatNumber(value, precision ?? 2)
  }
  if (unit === '°C') return formatTemperature(value, units, precision)
  if (unit === 'SG') return formatGravity(value, units, precision)
  const shown = precision ?? (Math.abs(value) >= 100 ? 0 : 2)
  return unit === undefined || unit === '' || unit === '1'
    ? formatNumber(value, shown)
    : withUnit(value, shown, unit)
}

/** The size of a change of a measured quantity: a difference of temperature or gravity where it is one. */
export function formatQuantityChange(
  quantity: string,
  change: number,
  units: DisplayUnits,
  options: { readonly unit?: string | undefined; readonly precision?: 'as written' } = {},
): string {
  const { unit, precision } = options
  if (quantity === 'gravity' || quantity === 'forecast final gravity' || unit === 'SG') {
    return formatGravityDifference(change, units, precision ?? 1)
  }
  if (quantity === 'beer' || quantity === 'air' || quantity === 'room' || unit === '°C') {
    return formatDifference(change, units, precision)
  }
  return formatQuantity(quantity, change, units, options)
}
