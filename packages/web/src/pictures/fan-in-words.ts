import type { Fan } from '@attemper/core/rehearsal/result.ts'

/** Where the median begins, ends, and how far it goes, for those who hear the chart. `unit` with its space, or nothing. */
export function fanInWords(fan: Fan, digits: number, unit: string): string {
  const known = fan.p50.filter(value => value !== null)
  if (known.length === 0) return 'no figures yet.'
  const say = (value: number) => `${value.toFixed(digits)}${unit}`
  const [lowest, highest] = [Math.min(...known), Math.max(...known)]
  return `the median begins at ${say(known[0]!)}, ends at ${say(known.at(-1)!)}, and lies between ${say(lowest)} and ${say(highest)}.`
}
