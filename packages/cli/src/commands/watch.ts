import { wrap } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { formatClock, formatDate } from '@attemper/core/units/format.ts'
import type { ListedBatch } from '@attemper/server/http/published.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { keepUp, type Unknown } from '../cellar/keep-up.ts'
import { publishedBatch } from '../cellar/published-batch.ts'
import { plainScreen, terminalScreen } from '../cellar/watch-screen.ts'
import { WatchedBatch } from '../cellar/watched-batch.ts'
import { BATCH_ARGUMENT, isKept, whichBatch } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, type CellarClient, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { logText } from '../event-log.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { unitsFor } from '../settings.ts'

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
    const draw = (unknown?: Unknown) => {
      const [only] = watched
      const top = watched.length === 1 ? sentenceLines(only!, io) : watched.flatMap(each => blockOf(each, io))
      const shown = unknown === undefined ? top : unknownLines(unknown, watched, units, io)
      screen.show(shown, watched.length === 1 ? logLines(only!, io) : [])
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
  return (await client.get<readonly ListedBatch[]>('/batches')).filter(isKept)
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

/** Cut off, it says how the batches stood, and since when nobody here knows. */
function unknownLines(
  { since_ms, why }: Unknown,
  watched: readonly WatchedBatch[],
  units: DisplayUnits,
  io: Io,
): readonly string[] {
  const local_s = since_ms / 1000 - new Date(since_ms).getTimezoneOffset() * 60
  const since = `Unknown since ${formatClock(local_s, units)} on ${formatDate(local_s)}. ${why} Trying again.`
  const then = watched.map(({ sentenceThen }) => `Then it was so: ${sentenceThen}`)
  return [since, ...then].flatMap(text => [...wrap(text, io.columns), ''])
}
