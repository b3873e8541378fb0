import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Keeps a batch in its stage. */
export const HOLD: Command = {
  name: 'hold',
  summary: 'Keeps a batch in its stage and at its temperature until you resume it.',
  arguments: [BATCH_ARGUMENT],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper hold amber'],
  statuses: { good: 'held', bad: 'the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      await client.post(pathOf(batch, '/hold'))
      return ''
    }),
}
