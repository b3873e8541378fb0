import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Lets a held batch go on. */
export const RESUME: Command = {
  name: 'resume',
  summary: 'Lets a held batch go on where it was.',
  arguments: [BATCH_ARGUMENT],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper resume amber'],
  statuses: { good: 'resumed', bad: 'the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      await client.post(pathOf(batch, '/resume'))
      return ''
    }),
}
