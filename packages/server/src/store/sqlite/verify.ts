import type { DatabaseSync } from 'node:sqlite'
import { setImmediate } from 'node:timers/promises'
import { type Columns, decodeBlock, HOUR_MS } from './block.ts'
import { decodeMinutes, encodeMinutes, joinCells, minuteCells } from './cells.ts'

/** So many blocks are looked at before other work gets its turn. */
const BLOCKS_AT_ONCE = 32

/** Sentences of what is wrong with a database; none: all that is stored can be read, and agrees with itself. */
export async function verifyDatabase(db: DatabaseSync): Promise<readonly string[]> {
  const faults = [...fileFaults(db), ...journalFaults(db), ...orphanFaults(db), ...thinnedFaults(db)]
  const select = db.prepare(
    'select id, stream, hour, count, data from block where id > ? order by id limit ?',
  )
  let last = -1
  for (;;) {
    const rows = select.all(last, BLOCKS_AT_ONCE)
    for (const row of rows) {
      last = Number(row.id)
      const stream = Number(row.stream)
      const hour = Number(row.hour)
      const where = `${nameOf(db, stream)}, hour from ${new Date(hour * HOUR_MS).toISOString()}`
      faults.push(
        ...blockFaults(db, { stream, hour, count: Number(row.count), data: row.data as Uint8Array }).map(
          fault => `${where}: ${fault}`,
        ),
      )
    }
    if (rows.length < BLOCKS_AT_ONCE) return faults
    await setImmediate()
  }
}

function fileFaults(db: DatabaseSync): readonly string[] {
  const integrity = db
    .prepare('pragma integrity_check')
    .all()
    .map(row => String(row.integrity_check))
    .filter(line => line !== 'ok')
    .map(line => `The database file is damaged: ${line}.`)
  const keys = db
    .prepare('pragma foreign_key_check')
    .all()
    .map(row => `A row of ${String(row.table)} belongs to a ${String(row.parent)} that is not there.`)
  return [...integrity, ...keys]
}

function journalFaults(db: DatabaseSync): readonly string[] {
  return db
    .prepare(
      `select batch.id as id, count(*) as count, min(number) as first, max(number) as last
       from journal join batch on batch.key = journal.batch
       group by batch.key having min(number) <> 1 or max(number) <> count(*)`,
    )
    .all()
    .map(
      ({ id, count, first, last }) =>
        `The journal of batch ${String(id)} has ${String(count)} entries, numbered from ${String(first)} to ` +
        `${String(last)}: some are missing.`,
    )
}

function orphanFaults(db: DatabaseSync): readonly string[] {
  const streamless = db
    .prepare('select distinct stream from recent where stream not in (select id from stream)')
    .all()
    .map(row => `There are readings of stream ${String(row.stream)}, which is not there.`)
  const blockless = ['minute_cells', 'hour_cell'].flatMap(table =>
    db
      .prepare(
        `select stream, hour from ${table}
         where not exists (select 1 from block where block.stream = ${table}.stream and block.hour = ${table}.hour)
           and not exists (select 1 from thinned where thinned.stream = ${table}.stream and thinned.hour = ${table}.hour)`,
      )
      .all()
      .map(
        row =>
          `There are cells of ${nameOf(db, Number(row.stream))}, hour ${String(row.hour)}, without a block.`,
      ),
  )
  return [...streamless, ...blockless]
}

/** Hours whose readings were removed: no block, and cells of a minute that agree with that of the hour. */
function thinnedFaults(db: DatabaseSync): readonly string[] {
  const rows = db
    .prepare(
      `select thinned.stream, thinned.hour, thinned.count, minutes, block.id as block, minute_cells.data as data,
              hour_cell.count as hourCount
       from thinned
         left join block on block.stream = thinned.stream and block.hour = thinned.hour
         left join minute_cells on minute_cells.stream = thinned.stream and minute_cells.hour = thinned.hour
         left join hour_cell on hour_cell.stream = thinned.stream and hour_cell.hour = thinned.hour`,
    )
    .iterate()
  const faults: string[] = []
  for (const { stream, hour, count, minutes, block, data, hourCount } of rows) {
    const where = `${nameOf(db, Number(stream))}, hour from ${new Date(Number(hour) * HOUR_MS).toISOString()}`
    const inHour = Number(hourCount ?? 0)
    if (block !== null) faults.push(`${where}: its readings are said to be removed, but are there.`)
    if (inHour > Number(count)) {
      faults.push(`${where}: its cell counts ${inHour} readings where ${String(count)} were removed.`)
    }
    const inMinutes = minutes === 1 ? countMinutes(data as Uint8Array | null) : inHour
    if (inMinutes === null) faults.push(`${where}: its cells of a minute can not be read.`)
    else if (inMinutes !== inHour) {
      faults.push(`${where}: its cells of a minute do not agree with its cell of the hour.`)
    }
  }
  return faults
}

function countMinutes(data: Uint8Array | null): number | null {
  if (data === null) return 0
  let sum = 0
  try {
    decodeMinutes(data, (_, count) => {
      sum += count
    })
  } catch {
    return null
  }
  return sum
}

interface StoredBlock {
  readonly stream: number
  readonly hour: number
  readonly count: number
  readonly data: Uint8Array
}

function blockFaults(db: DatabaseSync, block: StoredBlock): readonly string[] {
  let columns: Columns
  try {
    columns = decodeBlock(block.hour, block.data)
  } catch (error) {
    return [`its block can not be read. ${error instanceof Error ? error.message : String(error)}`]
  }
  const faults: string[] = []
  if (columns.at_ms.length !== block.count) {
    faults.push(`its block holds ${columns.at_ms.length} readings where ${block.count} were stored.`)
  }
  const doubled = countDoubled(db, block, columns)
  if (doubled > 0) faults.push(`${doubled} of its readings are stored twice.`)
  return [...faults, ...cellFaults(db, block, columns)]
}

function countDoubled(db: DatabaseSync, { stream, hour }: StoredBlock, columns: Columns): number {
  const rows = db
    .prepare('select at_ms from recent where stream = ? and at_ms >= ? and at_ms < ?')
    .all(stream, hour * HOUR_MS, (hour + 1) * HOUR_MS)
  if (rows.length === 0) return 0
  const sealed = new Set(columns.at_ms)
  return rows.filter(({ at_ms }) => sealed.has(Number(at_ms))).length
}

function cellFaults(db: DatabaseSync, { stream, hour }: StoredBlock, columns: Columns): readonly string[] {
  const minutes = minuteCells(hour, columns)
  const whole = joinCells(minutes.cells.values())
  const storedMinutes = db
    .prepare('select data from minute_cells where stream = ? and hour = ?')
    .get(stream, hour)?.data
  const storedHour = db
    .prepare('select count, min, max, sum from hour_cell where stream = ? and hour = ?')
    .get(stream, hour)
  const expected = whole === null ? undefined : encodeMinutes(minutes)
  const faults: string[] = []
  if (!sameBytes(storedMinutes as Uint8Array | undefined, expected)) {
    faults.push('its cells of a minute do not agree with its readings.')
  }
  const agrees =
    storedHour === undefined || whole === null
      ? storedHour === undefined && whole === null
      : storedHour.count === whole.count &&
        storedHour.min === whole.min &&
        storedHour.max === whole.max &&
        storedHour.sum === whole.sum
  if (!agrees) faults.push('its cell of the hour does not agree with its readings.')
  return faults
}

function sameBytes(one: Uint8Array | undefined, other: Uint8Array | undefined): boolean {
  if (one === undefined || other === undefined) return one === other
  return Buffer.compare(one, other) === 0
}

function nameOf(db: DatabaseSync, stream: number): string {
  const row = db.prepare('select vessel, instrument, quantity from stream where id = ?').get(stream)
  if (row === undefined) return `stream ${stream}`
  return `${String(row.vessel)} / ${String(row.instrument)} / ${String(row.quantity)}`
}
