import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { drawFor } from '@attemper/core/random/draw.ts'
import { expect, test } from 'vitest'
import { indexedReading } from '../testing/indexed-readings.ts'
import { BATCH, BEER, FLOAT } from '../testing/sample-records.ts'
import { openSqliteStore } from './open.ts'

const KILLS = 12
const SEED = 20_261_124
/** A kill comes after at least one and at most so many acknowledgements, and then somewhere within so many ms. */
const MOST_ANSWERS = 80
const LONGEST_MS = 20

const WRITER = join(import.meta.dirname, '..', 'testing', 'write-until-killed.ts')

interface Acknowledged {
  readonly readings: Set<number>
  journal: number
}

interface Moment {
  readonly answers: number
  readonly after_ms: number
}

/** Kills the writer at a moment of its work, and notes what it was told that is stored. */
async function writeAndKill(file: string, first: number, moment: Moment, told: Acknowledged): Promise<void> {
  const child = spawn(process.execPath, [WRITER, file, String(first)], { stdio: ['ignore', 'pipe', 'pipe'] })
  let output = ''
  let complaint = ''
  let isCondemned = false
  child.stderr.setEncoding('utf8').on('data', text => {
    complaint += text
  })
  child.stdout.setEncoding('utf8').on('data', text => {
    output += text
    if (isCondemned || output.split('\n').length <= moment.answers) return
    isCondemned = true
    setTimeout(() => child.kill('SIGKILL'), moment.after_ms)
  })
  const signal = await new Promise(resolve => child.once('close', (_, how) => resolve(how)))
  expect(signal, complaint).toBe('SIGKILL')
  // What follows the last line feed may be half a line.
  for (const line of output.split('\n').slice(0, -1)) {
    const [kind, from, count] = line.split(' ')
    if (kind === 'r') for (let i = 0; i < Number(count); i++) told.readings.add(Number(from) + i)
    if (kind === 'j') told.journal = Number(from)
  }
}

test(`nothing acknowledged is lost and nothing doubled by ${KILLS} kills at random moments`, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'attemper-kill-'))
  const file = join(folder, 'cellar.db')
  const draw = drawFor(SEED, 0)
  const told: Acknowledged = { readings: new Set(), journal: 0 }
  let next = 0
  for (let kill = 1; kill <= KILLS; kill++) {
    const moment = {
      answers: Math.ceil(draw.uniform() * MOST_ANSWERS),
      after_ms: Math.floor(draw.uniform() * LONGEST_MS),
    }
    await writeAndKill(file, next, moment, told)

    const where = `seed ${SEED}, kill ${kill}, ${moment.after_ms} ms after ${moment.answers} answers`
    const store = openSqliteStore(file)
    const stored = [BEER, FLOAT].flatMap(stream =>
      store.readings(stream, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY),
    )
    const byTime = new Map(stored.map(one => [one.at_ms, one]))
    expect(byTime.size, `${where}: doubled`).toBe(stored.length)
    for (const index of told.readings) {
      const expected = indexedReading(index)
      if (!sameReading(byTime.get(expected.at_ms), expected)) {
        expect(byTime.get(expected.at_ms), `${where}: reading ${index}`).toEqual(expected)
      }
    }
    const journal = store.journal(BATCH.id)
    expect(journal.length, `${where}: journal`).toBeGreaterThanOrEqual(told.journal)
    expect(journal.length % 2, `${where}: half a transaction`).toBe(0)
    journal.forEach((entry, i) => {
      expect(entry).toMatchObject({ number: i + 1, text: `entry ${i + 1}` })
    })
    if (journal.length > 0) expect(store.latestState(BATCH.id)?.state.stage, where).toBe(journal.length)
    expect(await store.verify(), where).toEqual([])
    store.close()

    // The next writer begins with readings that may be stored though nobody was told: sent again, they are repeats.
    next = Math.max(0, [...told.readings].reduce((last, index) => Math.max(last, index), 0) - 100)
  }
  expect(told.readings.size).toBeGreaterThan(1000)
  rmSync(folder, { recursive: true })
})

function sameReading(one: object | undefined, other: object): boolean {
  return one !== undefined && JSON.stringify(one) === JSON.stringify(other)
}
