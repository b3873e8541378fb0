import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Words of the brewer, kept with the batch. */
export const NOTE: Command = {
  name: 'note',
  summary: 'Keeps a note in the log of a batch.',
  arguments: [BATCH_ARGUMENT, { name: 'TEXT', about: 'the note, in quotes' }],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper note amber "Smells of pear drops; the lid was loose."'],
  statuses: { good: 'kept', bad: 'the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      await client.post(pathOf(batch, '/note'), { text: given.arguments[1]! })
      return 'Noted.'
    }),
}
