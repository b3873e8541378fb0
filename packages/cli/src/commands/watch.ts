import { setTimeout } from 'node:timers/promises'
import { wrap } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { publishedBatch } from '../cellar/published-batch.ts'
import { plainScreen, terminalScreen } from '../cellar/watch-screen.ts'
import { WatchedBatch } from '../cellar/watched-batch.ts'
import { BATCH_ARGUMENT, isRunning, whichBatch } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, type CellarClient, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { logText } from '../event-log.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { unitsFor } from '../settings.ts'

/** A terminal need not be redrawn more often; a demonstration would otherwise keep it busy. */
const BETWEEN_MS = 200
/** When the cellar has gone away, it is looked for again after this. */
const AGAIN_AFTER_MS = 2_000

/** A line that keeps itself up to date, and the log beneath. */
export const WATCH: Command = {
  name: 'watch',
  summary: 'Shows how a batch stands, keeps that up to date, and tells what happens beneath it.',
  arguments: [
    {
      ...BATCH_ARGUMENT,
      optional: true,
      about: `${BATCH_ARGUMENT.about}; left out: all that run (once, where the output is no terminal)`,
    },
  ],
  options: [
    { name: 'once', about: 'show how it stands now, and end' },
    { name: 'switches', about: 'also each time that an appliance was switched, set or held back' },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: ['attemper watch', 'attemper watch amber', 'attemper watch amber --once --json'],
  statuses: { good: 'shown; or the batch has ended', bad: 'the cellar refused' },
  async run(given, io) {
    const units = unitsFor(given, io)
    if (given.switch('json') && !given.switch('once')) {
      throw new UsageError('--json shows how it stands once: say --once too.')
    }
    const client = cellarFor(given, io)
    const batches = await batchesMeant(client, given.arguments[0])
    const watched = await watchAll(client, batches, units, given)
    if (given.switch('json')) {
      io.out(`${JSON.stringify({ batches: watched.map(({ view }) => publishedBatch(view)) }, null, 2)}\n`)
      return EXIT.good
    }
    if (watched.length === 0) {
      io.out('No batch is running. Start one: attemper start --help\n')
      return EXIT.good
    }
    const screen = io.outIsTerminal && !given.switch('once') ? terminalScreen(io) : plainScreen(io)
    const draw = (trouble?: string) => {
      const [only] = watched
      const top = watched.length === 1 ? sentenceLines(only!, io) : watched.flatMap(each => blockOf(each, io))
      const said = trouble === undefined ? [] : [...wrap(trouble, io.columns), '']
      screen.show([...top, ...said], watched.length === 1 ? logLines(only!, io) : [])
    }
    draw()
    // The logs of several do not fit into one stream of lines.
    const isOnce = given.switch('once') || (!io.outIsTerminal && watched.length > 1)
    if (!isOnce) await keepUp(client, watched, draw)
    if (io.outIsTerminal) io.out('\n')
    return EXIT.good
  },
}

async function batchesMeant(client: CellarClient, word: string | undefined): Promise<readonly BatchRecord[]> {
  if (word !== undefined) return [await whichBatch(client, word)]
  return (await client.get<readonly BatchRecord[]>('/batches')).filter(isRunning)
}

function watchAll(
  client: CellarClient,
  batches: readonly BatchRecord[],
  units: DisplayUnits,
  given: Given,
): Promise<WatchedBatch[]> {
  return Promise.all(batches.map(batch => WatchedBatch.of(client, batch, units, given.switch('switches'))))
}

function sentenceLines({ sentence }: WatchedBatch, io: Io): readonly string[] {
  return [...wrap(sentence, io.columns), '']
}

function logLines({ lines }: WatchedBatch, io: Io): readonly string[] {
  return lines.length === 0 ? [] : logText(lines, io.columns).split('\n')
}

const LINES_OF_EACH = 2

/** One of several: its sentence, and the end of its log. */
function blockOf(watched: WatchedBatch, io: Io): readonly string[] {
  const { lines, sentence } = watched
  const last = logText(lines.slice(-LINES_OF_EACH), io.columns - 2)
  const log = last === '' ? [] : last.split('\n').map(line => `  ${line}`)
  return [...wrap(sentence, io.columns), ...log, '']
}

/** Listens until all batches are over; a cellar that goes away is waited for. */
async function keepUp(
  client: CellarClient,
  watched: readonly WatchedBatch[],
  draw: (trouble?: string) => void,
): Promise<void> {
  const dirty = new Set<WatchedBatch>()
  const stop = new AbortController()
  const listen = async () => {
    while (!stop.signal.aborted) {
      try {
        for await (const { event, data } of client.events('/events', stop.signal)) {
          const id = event === 'batch' ? (JSON.parse(data) as { batch: string }).batch : null
          for (const each of watched) if (id === null || each.view.batch.id === id) dirty.add(each)
        }
      } catch (error) {
        if (stop.signal.aborted) return
        draw(`${error instanceof Error ? error.message : String(error)} Trying again.`)
      }
      await setTimeout(AGAIN_AFTER_MS, undefined, { signal: stop.signal }).catch(() => undefined)
    }
  }
  const listening = listen()
  while (!watched.every(each => each.isOver)) {
    await setTimeout(BETWEEN_MS)
    if (dirty.size === 0) continue
    const changed = [...dirty]
    dirty.clear()
    try {
      await Promise.all(changed.map(each => each.refresh()))
      draw()
    } catch (error) {
      if (!(error instanceof UsageError)) throw error
    }
  }
  stop.abort()
  await listening
}
