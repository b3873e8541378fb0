import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { formatClock, formatDate } from '@attemper/core/units/format.ts'
import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import { readGravityText } from '@attemper/core/units/read-gravity.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { sameName } from '@attemper/server/doors/slug.ts'
import type { Receipt } from '@attemper/server/http/published.ts'
import type { BatchRecord, VesselRecord } from '@attemper/server/store/store.ts'
import { isConfirmed, YES_OPTION } from '../cellar/confirm.ts'
import { isRunning } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, type CellarClient, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION } from '../command.ts'
import { EXIT, RefusedError, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { progressFor } from '../progress.ts'
import { COLUMN_OPTIONS } from '../readings/column-options.ts'
import { type PastReading, pastReadings } from '../readings/past-readings.ts'
import { readTable } from '../readings/read-table.ts'

const MOST_AT_ONCE = 1000
const SHOWN_REFUSALS = 8

/** Puts a log that was kept elsewhere into the records of a running cellar. */
export const IMPORT: Command = {
  name: 'import',
  summary:
    'Puts the readings of a past log (a CSV file) into the records of a vessel; what is there already is not doubled.',
  arguments: [{ name: 'FILE', about: 'the log, a CSV file with the names of its columns in the first line' }],
  options: [
    { name: 'vessel', value: 'NAME', about: "the vessel's name in the cellar" },
    ...COLUMN_OPTIONS,
    {
      name: 'utc-offset',
      value: 'OFFSET',
      about:
        "what the log's clock was ahead of UTC, such as +01:00, where its times name no zone (usually as this machine)",
    },
    {
      name: 'start',
      value: 'TIME',
      about: 'when pitching was, such as 2026-03-04T18:00, for times that count from it',
    },
    {
      name: 'original-gravity',
      value: 'GRAVITY',
      about: 'of the beer in the log; only with it a column in °Bx, of a refractometer, tells a gravity',
    },
    {
      name: 'to-batch',
      about:
        'readings from the time of the batch that runs in the vessel are meant for it: it is told of them',
    },
    YES_OPTION,
    CELLAR_OPTION,
    JSON_OPTION,
  ],
  needs: ['vessel'],
  examples: [
    'attemper import old-log.csv --vessel "Garage fridge" --utc-offset +01:00',
    'attemper import trial.csv --vessel "Garage fridge" --start 2026-03-04T18:00 \\',
    "    --beer-column 'Temp:°F' --instrument gravity=Hydrometer",
  ],
  statuses: {
    good: 'all readings are in the records, or none was imported on second thoughts',
    bad: 'a line could not be read or was refused; or the cellar refused',
  },
  async run(given, io) {
    const file = given.arguments[0]!
    const client = cellarFor(given, io)
    const record = await vesselCalled(client, given.text('vessel')!)
    const { vessel } = readVessel(record.text, record.name)
    if (vessel === null) throw new RefusedError(`The text of ${record.name} can not be read any more.`)
    const { table, mapping, notes: ofFile } = readTable(file, given, io.folder, originalGravityOf(given))
    const past = pastReadings(table, mapping, vessel, given.text('start'))
    const ofBatches = await batchesOf(client, record.name, past.readings, given.switch('to-batch'))
    const notes = [...ofFile, ...past.notes, ...ofBatches]
    const isData = given.switch('json')
    if (!isData) {
      for (const note of [...notes, describe(past.readings)]) io.err(`${paragraph(note, io.columns)}\n`)
    }
    const question = `Put them into the records of ${record.name}? They can not be taken out again.`
    if (!(await isConfirmed(given, io, question))) {
      io.err('Nothing was imported.\n')
      return EXIT.good
    }
    const sent = await send(client, record.name, past.readings, given, io)
    if (isData)
      io.out(
        `${JSON.stringify({ vessel: record.name, ...published(past.readings, sent), notes }, null, 2)}\n`,
      )
    else io.out(`${paragraph(outcome(sent, record.name), io.columns)}\n${refusals(sent, io.columns)}`)
    return sent.refused.length > 0 || past.unread > 0 ? EXIT.bad : EXIT.good
  },
}

function originalGravityOf(given: Given): number | null {
  const text = given.text('original-gravity')
  if (text === undefined) return null
  const read = readGravityText(text, 'wort')
  if (read.ok) return read.value
  throw new UsageError(`--original-gravity: ${read.problem.message} ${read.problem.cure}`)
}

interface Sent {
  readonly stored: number
  readonly repeated: number
  readonly refused: readonly { readonly line: number; readonly code: string; readonly message: string }[]
}

async function vesselCalled(client: CellarClient, name: string): Promise<VesselRecord> {
  const vessels = await client.get<readonly VesselRecord[]>('/vessels')
  const found = vessels.find(each => each.name === name) ?? vessels.find(each => sameName(each.name, name))
  if (found !== undefined) return found
  const names = vessels.map(each => each.name)
  const nearest = nearestWord(name, names)
  const there = names.length === 0 ? 'There are none yet.' : `There are: ${names.join(', ')}.`
  throw new RefusedError(
    `There is no vessel “${name}”. ${nearest === null ? there : `Did you mean ${nearest}?`}`,
  )
}

/** What is to be said about the batches from whose time readings are; a running one must be meant. */
async function batchesOf(
  client: CellarClient,
  vessel: string,
  readings: readonly PastReading[],
  toBatch: boolean,
): Promise<readonly string[]> {
  const batches = (await client.get<readonly BatchRecord[]>('/batches')).filter(
    each => each.vessel === vessel,
  )
  return batches.flatMap(batch => {
    const from_ms = Math.floor(batch.started_ms / 1000) * 1000
    const until_ms = batch.ended_ms ?? Number.POSITIVE_INFINITY
    const count = readings.filter(({ at_ms }) => at_ms >= from_ms && at_ms <= until_ms).length
    if (count === 0) return []
    const are = `${count} of the readings ${count === 1 ? 'is' : 'are'} from the time of ${batch.id}`
    if (!isRunning(batch)) return [`${are}: they become a part of its record.`]
    if (toBatch) return [`${are}, which is told of them now.`]
    throw new RefusedError(
      `${are}, which runs in ${vessel} since ${utcText(batch.started_ms)}: it would be told of them, and decide by them. ` +
        'Say --to-batch if they are of this beer; otherwise leave them out of the file. Nothing was imported.',
    )
  })
}

/** In parts, each on disk before the next is sent. */
async function send(
  client: CellarClient,
  vessel: string,
  readings: readonly PastReading[],
  given: Given,
  io: Io,
): Promise<Sent> {
  const toBatch = given.switch('to-batch')
  const progress = progressFor(io)
  let stored = 0
  let repeated = 0
  const refused: Sent['refused'][number][] = []
  let at = 0
  try {
    for (; at < readings.length; at += MOST_AT_ONCE) {
      progress.show(`${at} of ${readings.length} readings are handed in`)
      const part = readings.slice(at, at + MOST_AT_ONCE)
      const receipt = await client.post<Receipt>('/readings/past', {
        vessel,
        readings: part.map(({ line: _, ...reading }) => reading),
        ...(toBatch ? { toBatch } : {}),
      })
      stored += receipt.stored
      repeated += receipt.repeated
      for (const { index, code, message } of receipt.refused) {
        refused.push({ line: part[index]!.line, code, message })
      }
    }
  } catch (error) {
    progress.end()
    if (at > 0) {
      io.err(
        `Only ${at} of ${readings.length} readings were handed in. Import the file again to go on: nothing is doubled.\n`,
      )
    }
    throw error
  }
  progress.end()
  return { stored, repeated, refused: refused.sort((one, other) => one.line - other.line) }
}

/** How many readings, of when, and for which instruments: what a person should look at before they are stored. */
function describe(readings: readonly PastReading[]): string {
  const streams = Map.groupBy(readings, ({ instrument, quantity }) => `${quantity} of ${instrument}`)
  const counts = [...streams].map(([stream, own]) => `${own.length} as ${stream}`)
  const [first, last] = [readings[0]!, readings.at(-1)!]
  return `${plural(readings.length, 'reading')} from ${utcText(first.at_ms)} to ${utcText(last.at_ms)}: ${counts.join(', ')}.`
}

function outcome({ stored, repeated, refused }: Sent, vessel: string): string {
  const there = repeated === 0 ? '' : ` ${repeated} ${repeated === 1 ? 'was' : 'were'} there already.`
  if (stored === 0 && repeated > 0 && refused.length === 0) {
    return `Nothing is new: ${repeated === 1 ? 'the one reading was' : `all ${repeated} readings were`} in the records of ${vessel} already.`
  }
  return `${plural(stored, 'reading')} ${stored === 1 ? 'is' : 'are'} in the records of ${vessel} now.${there}`
}

function refusals({ refused }: Sent, width: number): string {
  if (refused.length === 0) return ''
  // What is wrong with the time of a line is wrong with each of its readings.
  const different = [...new Map(refused.map(each => [`${each.line} ${each.message}`, each])).values()]
  const lines = different
    .slice(0, SHOWN_REFUSALS)
    .map(({ line, message }) => paragraph(message, width, `  line ${line}: `, '    '))
  const more = different.length > SHOWN_REFUSALS ? [`  and ${different.length - SHOWN_REFUSALS} more`] : []
  return `\n${plural(refused.length, 'reading')} ${refused.length === 1 ? 'was' : 'were'} refused:\n${[...lines, ...more].join('\n')}\n`
}

function published(readings: readonly PastReading[], { stored, repeated, refused }: Sent) {
  return {
    from: new Date(readings[0]!.at_ms).toISOString(),
    to: new Date(readings.at(-1)!.at_ms).toISOString(),
    readings: readings.length,
    stored,
    repeated,
    refused,
  }
}

function plural(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`
}

/** "4 March 2026, 17:00 UTC" */
function utcText(at_ms: number): string {
  return `${formatDate(at_ms / 1000)}, ${formatClock(at_ms / 1000)} UTC`
}
