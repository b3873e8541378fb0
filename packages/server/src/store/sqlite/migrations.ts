import type { DatabaseSync } from 'node:sqlite'
import { StoreError } from '../store-error.ts'
import { inTransaction } from './transaction.ts'

export interface Migration {
  /** What the database can do afterwards. */
  readonly what: string
  readonly sql: string
}

/**
 * How a database of an older version becomes one of this version: the first entry makes version 1, and so on. Entries
 * are only ever added; one that has been released is never changed.
 */
export const MIGRATIONS: readonly Migration[] = [
  {
    what: 'readings, vessels, batches with their journals, documents, audit',
    sql: `
      create table stream (
        id integer primary key,
        vessel text not null,
        instrument text not null,
        quantity text not null,
        unique (vessel, instrument, quantity)
      ) strict;

      -- value null: not a number. status: 0 good, 1 uncertain, 2 bad.
      create table recent (
        stream integer not null references stream (id),
        at_ms integer not null,
        value real,
        status integer not null check (status between 0 and 2),
        primary key (stream, at_ms)
      ) strict, without rowid;

      create table block (
        id integer primary key,
        stream integer not null references stream (id),
        hour integer not null,
        count integer not null,
        data blob not null,
        unique (stream, hour)
      ) strict;

      create table minute_cells (
        id integer primary key,
        stream integer not null references stream (id),
        hour integer not null,
        data blob not null,
        unique (stream, hour)
      ) strict;

      create table hour_cell (
        stream integer not null references stream (id),
        hour integer not null,
        count integer not null,
        min real not null,
        max real not null,
        sum real not null,
        primary key (stream, hour)
      ) strict, without rowid;

      create table vessel (
        name text primary key,
        text text not null,
        doors text not null,
        changed_ms real not null
      ) strict, without rowid;

      create table batch (
        key integer primary key,
        id text not null unique,
        vessel text not null,
        name text not null,
        plan_text text not null,
        vessel_text text not null,
        beer_text text not null,
        local_offset_s real not null,
        started_ms real not null,
        ended_ms real
      ) strict;

      create table journal (
        batch integer not null references batch (key),
        number integer not null,
        at_ms real not null,
        entry text not null,
        primary key (batch, number)
      ) strict, without rowid;

      create table latest_state (
        batch integer primary key references batch (key),
        at_ms real not null,
        state text not null
      ) strict;

      create table document (
        name text primary key,
        text text not null
      ) strict;

      create table audit (
        id integer primary key,
        at_ms real not null,
        who text not null,
        what text not null
      ) strict;
    `,
  },
  {
    what: 'hours whose readings were removed by the retention rule',
    sql: `
      -- count: how many readings there were. minutes: 1, their cells of a minute are still there; 0, they are removed too.
      create table thinned (
        stream integer not null references stream (id),
        hour integer not null,
        count integer not null,
        minutes integer not null check (minutes in (0, 1)),
        primary key (stream, hour)
      ) strict, without rowid;
    `,
  },
  {
    // A stream is never removed, and each row was looked up in it twice: when it came, and when it was packed.
    what: 'rows of readings without a foreign key: quicker to add, and much quicker to pack',
    sql: `
      create table recent_without_key (
        stream integer not null,
        at_ms integer not null,
        value real,
        status integer not null check (status between 0 and 2),
        primary key (stream, at_ms)
      ) strict, without rowid;
      insert into recent_without_key select stream, at_ms, value, status from recent;
      drop table recent;
      alter table recent_without_key rename to recent;
    `,
  },
]

/** Brings the database to the version of this software, each step in its own transaction. Returns the version. */
export function migrate(db: DatabaseSync, file: string, migrations = MIGRATIONS): number {
  const found = versionOf(db, file)
  if (found > migrations.length) {
    throw new StoreError(
      'newer-version',
      `${file} was written by a newer Attemper: it has version ${found}, and this one knows versions up to ` +
        `${migrations.length}. Install the newer Attemper again, or restore a backup made before the change.`,
    )
  }
  migrations.slice(found).forEach((migration, i) => {
    inTransaction(db, () => {
      db.exec('create table if not exists version (number integer primary key, what text not null) strict')
      db.exec(migration.sql)
      db.prepare('insert into version (number, what) values (?, ?)').run(found + i + 1, migration.what)
    })
  })
  return migrations.length
}

function versionOf(db: DatabaseSync, file: string): number {
  const tables = db.prepare(`select name from sqlite_schema where type = 'table'`).all()
  if (tables.length === 0) return 0
  if (!tables.some(({ name }) => name === 'version')) {
    throw new StoreError(
      'corrupt',
      `${file} is a database of another program. Give the name of another file.`,
    )
  }
  return Number(db.prepare('select max(number) as number from version').get()?.number ?? 0)
}
