import { cellarSentence } from '@attemper/core/batch/cellar-sentence.ts'
import { widthOf } from '@attemper/core/report/text/width.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { BatchRecord, VesselRecord } from '@attemper/server/store/store.ts'
import { sentenceOf } from '../cellar/batch-sentence.ts'
import { publishedBatch } from '../cellar/published-batch.ts'
import { isRunning } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { EXIT } from '../exit-status.ts'
import { unitsFor } from '../settings.ts'

/** What stands in the cellar, and how it goes. */
export const CELLAR: Command = {
  name: 'cellar',
  summary: 'Shows all vessels and what ferments in them; what needs you is said first.',
  arguments: [],
  options: [CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper cellar', 'attemper cellar --cellar http://127.0.0.1:1050 --json'],
  statuses: { good: 'shown', bad: 'the cellar refused' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const client = cellarFor(given, io)
    const [vessels, batches] = await Promise.all([
      client.get<readonly VesselRecord[]>('/vessels'),
      client.get<readonly BatchRecord[]>('/batches'),
    ])
    const running = batches.filter(isRunning)
    const views = await Promise.all(
      running.map(({ id }) => client.get<BatchView>(`/batches/${encodeURIComponent(id)}`)),
    )
    if (given.switch('json')) {
      const data = { vessels: vessels.map(({ name }) => name), batches: views.map(publishedBatch) }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
      return EXIT.good
    }
    const names = vessels.map(({ name }) => name)
    const hint = names.length === 0 ? ' Add a vessel with "attemper vessel add FILE".' : ''
    io.out(`${paragraph(cellarSentence(names.length, views) + hint, io.columns)}\n`)
    const column = Math.min(20, Math.max(0, ...names.map(widthOf))) + 2
    for (const name of names) {
      const view = views.find(({ batch }) => batch.vessel === name)
      const first = widthOf(name) < column ? name + ' '.repeat(column - widthOf(name)) : `${name}  `
      const told = view === undefined ? 'Empty.' : sentenceOf(view, units)
      io.out(`\n${paragraph(told, io.columns, first, ' '.repeat(column))}\n`)
      if (view !== undefined) io.out(`${' '.repeat(column)}${view.batch.id}\n`)
    }
    return EXIT.good
  },
}
