import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Ends a batch fast. */
export const ABORT: Command = {
  name: 'abort',
  summary: 'Switches everything of a batch off at once, without asking, and ends it.',
  arguments: [BATCH_ARGUMENT],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper abort amber'],
  statuses: { good: 'aborted', bad: 'the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      await client.post(pathOf(batch, '/abort'))
      return ''
    }),
}
