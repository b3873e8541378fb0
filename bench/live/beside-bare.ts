import type { BareInserts } from './bare-inserts.ts'
import type { Loaded } from './load.ts'

/** What a figure of a door is held against in the same run, and what else was seen. */
export function besideBare(loaded: Loaded, bare: BareInserts): string {
  const { perSecond, half_ms, most_ms, processor_us } = loaded
  const shares = [...bare].map(
    ([rows, rowsPerSecond]) => `${((100 * perSecond) / rowsPerSecond).toFixed(1)} % of ${rows} a commit`,
  )
  return (
    `beside bare inserts: ${shares.join(', ')}; answered after ${half_ms.toFixed(1)} ms ` +
    `(99 % within ${most_ms.toFixed(1)} ms); ${processor_us.toFixed(1)} µs of processor time of the cellar each`
  )
}
