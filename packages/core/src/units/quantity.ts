import { sgFromPlato } from '../formulas/gravity.ts'

/**
 * The kinds of quantities that a brewer writes, and their units. A temperature and a temperature difference are
 * different kinds: 18 °C is 64.4 °F, but a difference of 18 °C is one of 32.4 °F.
 *
 * Each unit turns a written number into the kind's base unit, which is SI (with °C for temperatures and specific gravity
 * 20/20 °C for gravity). Factors of the foot-pound units are the exact international definitions (1959 pound,
 * US gallon of 231 cubic inches), from memory.
 */
export type QuantityKind =
  | 'temperature'
  | 'temperature difference'
  | 'temperature rate'
  | 'gravity'
  | 'gravity difference'
  | 'gravity rate'
  | 'duration'
  | 'share'
  | 'power'
  | 'conductance'
  | 'heat capacity'
  | 'volume'
  | 'pressure'
  | 'gain'
  | 'number'

export interface Unit {
  /** As this program would write it. */
  readonly symbol: string
  /** Other ways of writing it, in the form that `normalUnit` gives. */
  readonly spellings: readonly string[]
  readonly toBase: (written: number) => number
}

export interface Kind {
  readonly kind: QuantityKind
  /** With its article, for sentences. */
  readonly called: string
  /** Base unit. */
  readonly base: string
  readonly units: readonly Unit[]
  /** What a number without a unit means. `zero`: only 0 is understood, because it is the same in each unit. */
  readonly bare: 'refused' | 'zero' | 'accepted'
  readonly examples: readonly string[]
  /** The kind of a standard deviation of this quantity. */
  readonly spread: QuantityKind
}

function scaled(symbol: string, factor: number, ...spellings: readonly string[]): Unit {
  return { symbol, spellings, toBase: written => written * factor }
}

/** For decimal fractions of the base unit: 70 / 100 is the number that 0.7 is, 70 * 0.01 is not. */
function divided(symbol: string, divisor: number, ...spellings: readonly string[]): Unit {
  return { symbol, spellings, toBase: written => written / divisor }
}

/** Temperature of the Fahrenheit scale in °C. */
export function celsiusFromFahrenheit(temperature_F: number): number {
  return ((temperature_F - 32) * 5) / 9
}

const KELVIN_PER_FAHRENHEIT = 5 / 9
const MINUTE_S = 60
const HOUR_S = 3600
const DAY_S = 86400

const differences = [
  scaled('°C', 1, 'c', 'k', '°k'),
  scaled('°F', KELVIN_PER_FAHRENHEIT, 'f'),
] satisfies Unit[]

/** In descending order, as the parts of a duration are written. */
export const DURATION_UNITS: readonly Unit[] = [
  scaled('w', 7 * DAY_S, 'wk', 'wks', 'week', 'weeks'),
  scaled('d', DAY_S, 'day', 'days'),
  scaled('h', HOUR_S, 'hr', 'hrs', 'hour', 'hours'),
  scaled('min', MINUTE_S, 'mins', 'minute', 'minutes'),
  scaled('s', 1, 'sec', 'secs', 'second', 'seconds'),
]

/**
 * A difference in °P is turned into one of specific gravity from 0 °P upwards, where fermentations end; at 12 °P the
 * same difference is 7 % larger.
 */
const gravityDifferences = [
  divided('points', 1000, 'point', 'pt', 'pts'),
  scaled('SG', 1),
  { symbol: '°P', spellings: ['p', 'plato', '°plato'], toBase: plato => sgFromPlato(plato) - 1 },
] satisfies Unit[]

const powers = [scaled('W', 1, 'watt', 'watts'), scaled('kW', 1000), scaled('BTU/h', 0.29307107017)]
const shares = [divided('%', 100, 'percent')]

/** All units "top/bottom", with their spellings. */
function per(tops: readonly Unit[], bottoms: readonly Unit[]): readonly Unit[] {
  return tops.flatMap(top =>
    bottoms.map(bottom => {
      const one = bottom.toBase(1)
      const spellings = [top.symbol, ...top.spellings].flatMap(a =>
        [bottom.symbol, ...bottom.spellings].map(b => `${a}/${b}`),
      )
      return {
        symbol: `${top.symbol}/${bottom.symbol}`,
        spellings,
        toBase: (written: number) => top.toBase(written) / one,
      }
    }),
  )
}

function kind(
  name: QuantityKind,
  called: string,
  base: string,
  units: readonly Unit[],
  bare: Kind['bare'],
  examples: readonly string[],
  spread: QuantityKind = name,
): Kind {
  return { kind: name, called, base, units, bare, examples, spread }
}

export const KINDS: Readonly<Record<QuantityKind, Kind>> = {
  temperature: kind(
    'temperature',
    'a temperature',
    '°C',
    [scaled('°C', 1, 'c'), { symbol: '°F', spellings: ['f'], toBase: celsiusFromFahrenheit }],
    'refused',
    ['18 °C', '64 °F'],
    'temperature difference',
  ),
  'temperature difference': kind(
    'temperature difference',
    'a temperature difference',
    'K',
    differences,
    'zero',
    ['0.3 °C', '0.5 °F'],
  ),
  'temperature rate': kind(
    'temperature rate',
    'a rate of temperature',
    'K/s',
    per(differences, DURATION_UNITS),
    'refused',
    ['1 °C/h', '2 °F/d'],
  ),
  gravity: kind(
    'gravity',
    'a gravity',
    'SG',
    [scaled('SG', 1), { symbol: '°P', spellings: ['p', 'plato', '°plato'], toBase: sgFromPlato }],
    'accepted',
    ['1.012', '3.1 °P'],
    'gravity difference',
  ),
  'gravity difference': kind(
    'gravity difference',
    'a difference of gravity',
    'SG',
    gravityDifferences,
    'accepted',
    ['10 points', '2.5 °P'],
  ),
  'gravity rate': kind(
    'gravity rate',
    'a rate of gravity',
    'SG/s',
    per(gravityDifferences, DURATION_UNITS),
    'zero',
    ['1 point/d', '0.3 °P/d'],
  ),
  duration: kind('duration', 'a time', 's', DURATION_UNITS, 'zero', ['3 d', '12 h', '1 d 12 h', 'PT72H']),
  share: kind('share', 'a share', '1', shares, 'zero', ['75 %']),
  power: kind('power', 'a power', 'W', powers, 'zero', ['30 W', '3 kW']),
  conductance: kind(
    'conductance',
    'a heat conductance',
    'W/K',
    per(powers.slice(0, 2), differences),
    'zero',
    ['4 W/°C'],
  ),
  'heat capacity': kind(
    'heat capacity',
    'a heat capacity',
    'J/K',
    per([scaled('kJ', 1000), scaled('J', 1)], differences),
    'zero',
    ['3 kJ/°C'],
  ),
  volume: kind(
    'volume',
    'a volume',
    'L',
    [
      scaled('L', 1, 'litre', 'litres', 'liter', 'liters'),
      scaled('hL', 100),
      divided('mL', 1000),
      scaled('gal', 3.785411784, 'gals', 'gallon', 'gallons'),
    ],
    'refused',
    ['20 L', '5 gal'],
  ),
  pressure: kind(
    'pressure',
    'a pressure',
    'Pa',
    [
      scaled('bar', 1e5),
      scaled('mbar', 100),
      scaled('kPa', 1000),
      scaled('hPa', 100),
      scaled('Pa', 1),
      scaled('psi', 6894.757293168),
    ],
    'zero',
    ['0.8 bar', '12 psi'],
  ),
  gain: kind('gain', 'a gain', '1/K', per(shares, differences), 'zero', ['20 %/°C']),
  number: kind('number', 'a number', '1', [], 'accepted', ['4.6']),
}

/** A unit's name in the form in which spellings are compared: lower case, no spaces, one sort of degree sign. */
export function normalUnit(written: string): string {
  return written
    .toLowerCase()
    .replaceAll('℃', '°c')
    .replaceAll('℉', '°f')
    .replace(/[º˚]/g, '°')
    .replace(/\b(?:degrees?|deg)\b\.?\s*|deg(?=[cfp]\b)/g, '°')
    .replace(/celsius|centigrade/g, 'c')
    .replace(/fahrenheit/g, 'f')
    .replace(/(^|\s)per\s/g, '/')
    .replace(/\s+/g, '')
}

const UNITS_BY_SPELLING = new Map(
  Object.values(KINDS).map(entry => {
    const spellings = new Map<string, Unit>()
    for (const unit of entry.units) {
      for (const spelling of [unit.symbol, ...unit.spellings]) spellings.set(normalUnit(spelling), unit)
    }
    return [entry.kind, spellings] as const
  }),
)

/** All spellings of a kind's units, in normal form. */
export function spellingsOf(kind: QuantityKind): ReadonlyMap<string, Unit> {
  return UNITS_BY_SPELLING.get(kind)!
}

/** What a kind is called without its article: "temperature difference". */
export function bareName(kind: Kind): string {
  return kind.called.replace(/^an? /, '')
}
