import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { readText } from '../text-file.ts'

/** Takes up a batch that could not be taken up when the cellar started. */
export const TAKE_UP: Command = {
  name: 'take-up',
  summary: 'Takes up a batch that nobody looks after, once what kept the cellar from it has been mended.',
  arguments: [BATCH_ARGUMENT],
  options: [
    {
      name: 'plan',
      value: 'FILE',
      about: 'a plan to go on by, from the stage of the same name, where its own cannot be read',
    },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: ['attemper take-up amber', 'attemper take-up amber --plan mended.plan.yaml'],
  statuses: { good: 'taken up', bad: 'it still cannot be taken up, or the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      const file = given.text('plan')
      await client.post(
        pathOf(batch, '/take-up'),
        file === undefined ? {} : { plan: readText(file, io.folder) },
      )
      return 'The batch is taken up.'
    }),
}
