import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatQuantity } from '@attemper/core/units/format.ts'
import type { HeardMessage, TriedMapping } from '@attemper/server/http/published.ts'

type Reading = TriedMapping['readings'][number]

/** “Float, gravity: 1.012”. */
export function sayReading({ instrument, quantity, value }: Reading, units: DisplayUnits): string {
  return `${instrument}, ${quantity}: ${formatQuantity(quantity, value, units)}`
}

/** What the cellar made of a message, or why it was refused. */
export function madeOf(message: HeardMessage, units: DisplayUnits): string {
  const { readings, readingCount, refused, refusedCount } = message
  const shown = readings.slice(0, 3).map(reading => sayReading(reading, units))
  const others = readingCount - shown.length
  const taken =
    readingCount === 0 ? '' : `Taken: ${shown.join('; ')}${others > 0 ? `; and ${others} more` : ''}.`
  const why = refused[0] === undefined ? '' : `Refused: ${refused[0].message}`
  const more = refusedCount > 1 ? ` (And ${refusedCount - 1} more.)` : ''
  if (taken === '' && why === '') return 'Nobody waits for it.'
  return [taken, why === '' ? '' : why + more].filter(part => part !== '').join(' ')
}
