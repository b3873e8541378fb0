import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { type CellarClient, CellarRefused, cellarFor } from '../cellar-client.ts'
import type { Given } from '../command.ts'
import { EXIT, type ExitStatus } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { unitsFor } from '../settings.ts'
import { sentenceOf } from './batch-sentence.ts'
import { publishedBatch } from './published-batch.ts'
import { whichBatch } from './which-batch.ts'

export function pathOf({ id }: Pick<BatchRecord, 'id'>, rest = ''): string {
  return `/batches/${encodeURIComponent(id)}${rest}`
}

/**
 * Does something to the batch that the first argument names, and says how it stands afterwards. `act` returns what is to
 * be said before that; null: nothing was done.
 */
export async function actOnBatch(
  given: Given,
  io: Io,
  act: (client: CellarClient, batch: BatchRecord, units: DisplayUnits) => Promise<string | null>,
): Promise<ExitStatus> {
  const units = unitsFor(given, io)
  const client = cellarFor(given, io)
  const batch = await whichBatch(client, given.arguments[0]!)
  const done = await act(client, batch, units)
  if (done === null) return EXIT.good
  const view = await viewOf(client, batch)
  if (view === null) {
    if (given.switch('json')) io.out(`${JSON.stringify({ batch: batch.id }, null, 2)}\n`)
    else io.out(`${paragraph(done === '' ? `Done: ${batch.id}.` : done, io.columns)}\n`)
    return EXIT.good
  }
  if (given.switch('json')) io.out(`${JSON.stringify(publishedBatch(view), null, 2)}\n`)
  else io.out(`${paragraph(`${done} ${sentenceOf(view, units)}`.trim(), io.columns)}\n`)
  return EXIT.good
}

/** How it stands; null: its texts cannot be read any more, so nobody can tell. */
async function viewOf(client: CellarClient, batch: BatchRecord): Promise<BatchView | null> {
  try {
    return await client.get<BatchView>(pathOf(batch))
  } catch (error) {
    if (error instanceof CellarRefused && (error.code === 'not-kept' || error.code === 'has-errors'))
      return null
    throw error
  }
}
