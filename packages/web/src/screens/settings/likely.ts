/** What somebody probably means who clicks on a number of a message; all of it can be chosen otherwise. */

interface ChannelName {
  readonly instrument: string
  readonly quantity: string
}

const WORDS: readonly (readonly [RegExp, readonly string[]])[] = [
  [/grav|plato|\bsg\b|density|extract/i, ['gravity']],
  [/temp|°|celsius|fahrenheit/i, ['beer', 'air']],
  [/press/i, ['pressure']],
  [/\bph\b/i, ['pH']],
  [/humid|\brh\b/i, ['humidity']],
  [/power|watt/i, ['power']],
]

/** By the name of the member; those that were chosen already come last. */
export function likelyChannel<Channel extends ChannelName>(
  pointer: string,
  channels: readonly Channel[],
  taken: readonly ChannelName[],
): Channel | undefined {
  const isTaken = (channel: ChannelName) =>
    taken.some(each => each.instrument === channel.instrument && each.quantity === channel.quantity)
  const last = pointer.split('/').at(-1) ?? ''
  const meant = WORDS.find(([word]) => word.test(last))?.[1] ?? []
  const free = channels.filter(channel => !isTaken(channel))
  // The others of the same instrument are more likely than those of another.
  const first = taken[0]?.instrument
  const ordered = [...free].sort((a, b) => Number(b.instrument === first) - Number(a.instrument === first))
  return ordered.find(({ quantity }) => meant.includes(quantity)) ?? ordered[0] ?? channels[0]
}

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
