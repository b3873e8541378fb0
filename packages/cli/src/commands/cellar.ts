import { cellarSentence } from '@attemper/core/batch/cellar-sentence.ts'
import { widthOf } from '@attemper/core/report/text/width.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { Alarm, ListedBatch } from '@attemper/server/http/published.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { VesselRecord } from '@attemper/server/store/store.ts'
import { sentenceOf } from '../cellar/batch-sentence.ts'
import { publishedBatch } from '../cellar/published-batch.ts'
import { isKept, isRunning } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { EXIT } from '../exit-status.ts'
import { unitsFor } from '../settings.ts'

/** Somebody has yet to see it. */
const RINGING: readonly Alarm['state'][] = ['active', 'returned']

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
    const [vessels, batches, alarms] = await Promise.all([
      client.get<readonly VesselRecord[]>('/vessels'),
      client.get<readonly ListedBatch[]>('/batches'),
      client.get<readonly Alarm[]>('/alarms'),
    ])
    const running = batches.filter(isKept)
    const unkept = batches.filter(batch => isRunning(batch) && !isKept(batch))
    const views = await Promise.all(
      running.map(({ id }) => client.get<BatchView>(`/batches/${encodeURIComponent(id)}`)),
    )
    if (given.switch('json')) {
      const data = {
        vessels: vessels.map(({ name }) => name),
        batches: views.map(publishedBatch),
        unkept: unkept.map(({ id, name, vessel, unkept: why }) => ({ batch: id, name, vessel, why })),
      }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
      return EXIT.good
    }
    const ringing = alarms.filter(({ place, state }) => place === null && RINGING.includes(state)).length
    const names = vessels.map(({ name }) => name)
    const hint = names.length === 0 ? ' Add a vessel with "attemper vessel add FILE".' : ''
    for (const batch of unkept) io.out(`${paragraph(sayUnkept(batch), io.columns)}\n\n`)
    io.out(`${paragraph(cellarSentence(names.length, views, { units, ringing }) + hint, io.columns)}\n`)
    const column = Math.min(20, Math.max(0, ...names.map(widthOf))) + 2
    for (const name of names) {
      const view = views.find(({ batch }) => batch.vessel === name)
      const first = widthOf(name) < column ? name + ' '.repeat(column - widthOf(name)) : `${name}  `
      const left = unkept.find(({ vessel }) => vessel === name)
      const nobody = left === undefined ? 'Empty.' : `Nobody looks after ${left.name}.`
      const told = view === undefined ? nobody : sentenceOf(view, units)
      io.out(`\n${paragraph(told, io.columns, first, ' '.repeat(column))}\n`)
      if (view !== undefined) io.out(`${' '.repeat(column)}${view.batch.id}\n`)
    }
    return EXIT.good
  },
}

/** What it takes to get somebody to look after it again. */
function sayUnkept({ id, name, vessel, unkept }: ListedBatch): string {
  return (
    `Nobody looks after ${name} in ${vessel}: ${unkept ?? ''} Its appliances were told off. Mend that, then: attemper take-up ` +
    `${id} (with --plan FILE, when its plan cannot be read); or: attemper stop ${id}.`
  )
}
