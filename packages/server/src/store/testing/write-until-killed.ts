/**
 * Writes readings and journal entries and seals hours until it is killed. Each line of output is something that the
 * store has acknowledged: `r FIRST COUNT` (readings by their index) or `j NUMBER` (an entry of the journal).
 *
 * Arguments: the database, the index of the first reading that is not acknowledged yet.
 */
import { writeSync } from 'node:fs'
import { openSqliteStore } from '../sqlite/open.ts'
import { indexedReading, readingTime_ms } from './indexed-readings.ts'
import { BATCH, engineState, note } from './sample-records.ts'

const [file = '', first = '0'] = process.argv.slice(2)
const WRITERS = 4
const acknowledge = (line: string) => writeSync(1, `${line}\n`)

const store = openSqliteStore(file)
if (store.batch(BATCH.id) === null) store.createBatch(BATCH)
acknowledge('ready')

let next = Number(first)

async function writeReadings(): Promise<never> {
  for (;;) {
    const from = next
    const count = 1 + (from % 40)
    next += count
    const readings = Array.from({ length: count }, (_, i) => indexedReading(from + i))
    // An impatient sender: the same readings again, before the first answer came.
    const [added] = await Promise.all([store.addReadings(readings), store.addReadings(readings.slice(0, 3))])
    if (added.stored + added.repeated !== count) throw new Error('The answer does not count all readings.')
    acknowledge(`r ${from} ${count}`)
  }
}

async function writeJournal(): Promise<never> {
  for (;;) {
    const at_ms = readingTime_ms(next)
    const expected = store.journal(BATCH.id).length + 1
    const entries = [note(at_ms, `entry ${expected}`), note(at_ms, `entry ${expected + 1}`)]
    const last = store.appendJournal(BATCH.id, entries, engineState(expected + 1, at_ms / 1000))
    acknowledge(`j ${last}`)
    store.seal(at_ms)
    await new Promise(resolve => setImmediate(resolve))
  }
}

await Promise.all([...Array.from({ length: WRITERS }, writeReadings), writeJournal()])
