import type { DatabaseSync } from 'node:sqlite'
import { setImmediate } from 'node:timers/promises'
import { type Columns, decodeBlock, HOUR_MS } from './block.ts'
import { decodeMinutes, encodeMinutes, joinCells, minuteCells } from './cells.ts'

/** So many blocks are looked at before other work gets its turn. */
const BLOCKS_AT_ONCE = 32

/** Sentences of what is wrong with a database; none: all that is stored can be read, and agrees with itself. */
export async function verifyDatabase(db: DatabaseSync): Promise<readonly string[]> {
  const faults = new Set<string>()
  for (const check of [fileFaults, keyFaults, journalFaults, textFaults, orphanFaults, thinnedFaults]) {
    for (const fault of orDamage(() => check(db))) faults.add(fault)
  }
  let last: number | null = -1
  while (last !== null) {
    last = verifyBlocks(db, last, faults)
    await setImmediate()
  }
  return [...faults]
}

/** Looks at the next blocks, and returns the id of the last of them; null: there are no more, or they cannot be found. */
function verifyBlocks(db: DatabaseSync, after: number, faults: Set<string>): number | null {
  const rows = orNothing(
    () =>
      db
        .prepare('select id, stream, hour, count, data from block where id > ? order by id limit ?')
        .all(after, BLOCKS_AT_ONCE),
    faults,
  )
  for (const row of rows) {
    const [stream, hour] = [Number(row.stream), Number(row.hour)]
    const block = { stream, hour, count: Number(row.count), data: row.data as Uint8Array }
    const [name = `stream ${stream}`] = orNothing(() => [nameOf(db, stream)], faults)
    const where = `${name}, hour from ${new Date(hour * HOUR_MS).toISOString()}`
    for (const fault of orDamage(() => blockFaults(db, block))) faults.add(`${where}: ${fault}`)
  }
  return rows.length < BLOCKS_AT_ONCE ? null : Number(rows.at(-1)!.id)
}

/** What a check says; where it comes upon pages that are damaged, that. */
function orDamage(check: () => readonly string[]): readonly string[] {
  try {
    return check()
  } catch (error) {
    return [sayDamage(error)]
  }
}

function orNothing<Row>(read: () => readonly Row[], faults: Set<string>): readonly Row[] {
  try {
    return read()
  } catch (error) {
    faults.add(sayDamage(error))
    return []
  }
}

function sayDamage(error: unknown, where = 'The database file'): string {
  return `${where} is damaged: ${error instanceof Error ? error.message : String(error)}.`
}

/** What a pragma that checks the pages of a table finds, a sentence each; none: all is in order. */
export function damageOf(
  db: DatabaseSync,
  check: 'quick_check' | 'integrity_check',
  table?: string,
): readonly string[] {
  const where = table === undefined ? 'The database file' : `The table ${table} of the database`
  try {
    const rows = db.prepare(`pragma ${check}${table === undefined ? '' : `('${table}')`}`).all()
    return rows.flatMap(row =>
      String(row[check])
        .split('\n')
        .filter(line => line !== 'ok' && !line.startsWith('***'))
        .map(line => `${where} is damaged: ${line}.`),
    )
  } catch (error) {
    return [sayDamage(error, where)]
  }
}

/** Table by table, so that it is known what is lost; then what belongs to none. */
function fileFaults(db: DatabaseSync): readonly string[] {
  const tables = db.prepare("select name from sqlite_schema where type = 'table'").all()
  const faults = tables.flatMap(({ name }) => damageOf(db, 'integrity_check', String(name)))
  return faults.length > 0 ? faults : damageOf(db, 'integrity_check')
}

function keyFaults(db: DatabaseSync): readonly string[] {
  return db
    .prepare('pragma foreign_key_check')
    .all()
    .map(row => `A row of ${String(row.table)} belongs to a ${String(row.parent)} that is not there.`)
}

/** Entries and states are kept as text that a bit of another value makes unreadable, without any page being out of order. */
function textFaults(db: DatabaseSync): readonly string[] {
  const entries = db
    .prepare(
      `select batch.id as id, count(*) as count, min(number) as first
       from journal join batch on batch.key = journal.batch where not json_valid(entry) group by batch.key`,
    )
    .all()
    .map(
      ({ id, count, first }) =>
        `${count === 1 ? 'One entry' : `${String(count)} entries`} of the journal of batch ${String(id)} can not be read, the first of them entry ${String(first)}.`,
    )
  const states = db
    .prepare(
      `select batch.id as id from latest_state join batch on batch.key = latest_state.batch
       where not json_valid(state)`,
    )
    .all()
    .map(({ id }) => `The state of batch ${String(id)} can not be read.`)
  return [...entries, ...states]
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
