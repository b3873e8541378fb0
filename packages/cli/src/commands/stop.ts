import { UNFINISHED_BEER } from '@attemper/core/report/cautions.ts'
import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { isConfirmed, YES_OPTION } from '../cellar/confirm.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'

/** Ends a batch in good order. */
export const STOP: Command = {
  name: 'stop',
  summary: 'Ends a batch, when it is packaged or given up: nothing heats or cools its vessel any more.',
  arguments: [BATCH_ARGUMENT],
  options: [YES_OPTION, CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper stop amber', 'attemper stop 2026-12-04-amber-ale --yes'],
  statuses: { good: 'stopped, or left running on second thoughts', bad: 'the cellar refused' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch) => {
      const question = `Stop ${batch.name} in ${batch.vessel}? It cannot be taken up again. ${UNFINISHED_BEER}`
      if (!(await isConfirmed(given, io, question))) return null
      await client.post(pathOf(batch, '/stop'))
      return ''
    }),
}
