import { isTold, journalLine } from '@attemper/core/batch/journal-line.ts'
import { readyTelling } from '../cellar/batch-telling.ts'
import { localOf } from '../cellar/published-batch.ts'
import { readLog } from '../cellar/read-log.ts'
import { BATCH_ARGUMENT, whichBatch } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { logText } from '../event-log.ts'
import { EXIT } from '../exit-status.ts'
import { unitsFor } from '../settings.ts'

/** What happened to a batch. */
export const LOG: Command = {
  name: 'log',
  summary: 'Tells what happened to a batch: decisions with their reasons, answers, notes, gaps.',
  arguments: [BATCH_ARGUMENT],
  options: [
    {
      name: 'switches',
      about: 'also each time that an appliance was switched, set or held back, and each command',
    },
    { name: 'last', value: 'N', about: 'only the last N lines' },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: ['attemper log amber', 'attemper log amber --switches --last 20'],
  statuses: { good: 'told', bad: 'the cellar refused' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const last = given.count('last', Number.MAX_SAFE_INTEGER, 1, Number.MAX_SAFE_INTEGER)
    const client = cellarFor(given, io)
    const batch = await whichBatch(client, given.arguments[0]!)
    const telling = readyTelling(batch, units)
    const entries = await readLog(client, batch)
    const told = entries.filter(entry => isTold(entry, given.switch('switches'))).slice(-last)
    if (given.switch('json')) {
      const data = {
        batch: batch.id,
        entries: told.map(entry => ({
          number: entry.number,
          time: localOf(entry.at_ms, batch),
          kind: entry.kind,
          sentence: journalLine(entry, telling).sentence,
          entry,
        })),
      }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
      return EXIT.good
    }
    const lines = told.map(entry => journalLine(entry, telling))
    io.out(lines.length === 0 ? 'Nothing has been written down yet.\n' : `${logText(lines, io.columns)}\n`)
    return EXIT.good
  },
}
