import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Moves a batch to a stage, whatever its conditions say. */
export const GO_TO: Command = {
  name: 'go-to',
  summary: 'Moves a batch to another stage of its plan, forwards or back, whatever the conditions say.',
  arguments: [BATCH_ARGUMENT, { name: 'STAGE', about: 'name of the stage, in quotes when it has spaces' }],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper go-to amber "Warm finish"'],
  statuses: { good: 'moved', bad: 'the cellar refused, for example because the plan has no such stage' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      await client.post(pathOf(batch, '/go-to'), { stage: given.arguments[1]! })
      return ''
    }),
}
