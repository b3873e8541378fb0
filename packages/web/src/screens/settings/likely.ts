/** What somebody probably means who clicks on a number of a message; all of it can be chosen otherwise. */

interface ChannelName {
  readonly instrument: string
  readonly quantity: string
}

/** The more particular word comes first: an "air_temp" is no beer. */
const WORDS: readonly (readonly [RegExp, readonly string[]])[] = [
  [/grav|plato|density|extract|(?:^|[^a-z])sg(?![a-z])/i, ['gravity']],
  [/(?:^|[^a-z])air(?![a-z])|ambient|room|cabinet|chamber|fridge|outside/i, ['air']],
  [/beer|wort|liquid|kettle|mash/i, ['beer']],
  [/temp|°|celsius|fahrenheit/i, ['beer', 'air']],
  [/press/i, ['pressure']],
  [/(?:^|[^a-z])ph(?![a-z])/i, ['pH']],
  [/humid|(?:^|[^a-z])rh(?![a-z])/i, ['humidity']],
  [/power|watt/i, ['power']],
]

/**
 * By the name of the member, then by the names around it. undefined: no name speaks of any channel that is still free, and a
 * guess could hand the temperature of a cabinet to the control as that of the beer.
 */
export function likelyChannel<Channel extends ChannelName>(
  pointer: string,
  channels: readonly Channel[],
  taken: readonly ChannelName[],
): Channel | undefined {
  const isTaken = (channel: ChannelName) =>
    taken.some(each => each.instrument === channel.instrument && each.quantity === channel.quantity)
  const names = pointer.split('/').slice(1).reverse()
  const found = names
    .map(name => WORDS.find(([word]) => word.test(name))?.[1] ?? [])
    .filter(each => each.length > 0)
  // {"air": {"temp": 18}}: which temperature it is, stands further out.
  const nearest = found[0] ?? []
  const meant =
    nearest.length > 1
      ? (found.find(each => each.length === 1 && nearest.includes(each[0]!)) ?? nearest)
      : nearest
  // An instrument that is named there is likelier than the one that was chosen first, and that one than the others.
  const first = taken[0]?.instrument
  const rank = ({ instrument, quantity }: Channel) =>
    100 * Number(!names.some(name => speaksOf(name, instrument))) +
    10 * Number(instrument !== first) +
    meant.indexOf(quantity)
  return channels
    .filter(channel => !isTaken(channel) && meant.includes(channel.quantity))
    .toSorted((a, b) => rank(a) - rank(b))[0]
}

const speaksOf = (name: string, instrument: string) =>
  plainly(name).includes(plainly(instrument)) || plainly(instrument).includes(plainly(name))
const plainly = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, '')

const UNITS: Readonly<Record<string, readonly string[]>> = {
  temperature: ['°C', '°F', 'K'],
  gravity: ['SG', '°P', 'points', 'kg/m3'],
  pressure: ['Pa', 'kPa', 'bar', 'mbar', 'psi'],
  humidity: ['%'],
  power: ['W', 'kW'],
}

/** The units in which a quantity may be sent; none: a plain number. */
export function unitsOffered(quantity: string): readonly string[] {
  return UNITS[quantity === 'beer' || quantity === 'air' ? 'temperature' : quantity] ?? []
}

/** By the size of the number: beer at 64 is in °F, a gravity of 12 in °P. null: the quantity's own unit. */
export function likelyUnit(quantity: string, value: number | null): string | null {
  if (value === null) return null
  if (quantity === 'beer' || quantity === 'air') return value > 200 ? 'K' : value > 45 ? '°F' : null
  if (quantity !== 'gravity') return quantity === 'humidity' && value > 1.5 ? '%' : null
  if (value > 900) return 'kg/m3'
  return value > 1.3 || value < 0.9 ? '°P' : null
}

/** How a time is written, by what stands there; null: that is no time. */
export function likelyTimeFormat(written: string): 'unix s' | 'unix ms' | 'ISO 8601' | null {
  const bare = written.replace(/^"|"$/g, '')
  if (/^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}/.test(bare)) return 'ISO 8601'
  if (!/^\d{9,13}(?:\.\d+)?$/.test(bare)) return null
  return Number(bare) > 1e11 ? 'unix ms' : 'unix s'
}
