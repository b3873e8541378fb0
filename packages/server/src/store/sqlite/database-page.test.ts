import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { decodeBlock } from './block.ts'
import { MIGRATIONS } from './migrations.ts'
import { openDatabase } from './open.ts'

const PAGE = readFileSync(join(import.meta.dirname, '../../../../../docs/formats/database.md'), 'utf8')

test('the page on the database names each table with all its columns, and no other', () => {
  const described = [...PAGE.matchAll(/^\| `(\w+)` \| ([^|]+) \|/gm)].map(
    ([, table, columns = '']) => `${table}: ${columns.replaceAll('`', '').trim()}`,
  )
  const db = openDatabase(':memory:')
  const made = db
    .prepare(
      `select t.name || ': ' || group_concat(c.name, ', ' order by c.cid) as line
       from pragma_table_list t, pragma_table_info(t.name) c
       where t.schema = 'main' and t.name not like 'sqlite%' group by t.name`,
    )
    .all()
    .map(({ line }) => String(line))
  db.close()
  expect(described.toSorted()).toEqual(made.toSorted())
})

test('the page describes the present version, and its example is a block', () => {
  expect(PAGE).toContain(`This page describes version ${MIGRATIONS.length}.`)
  const bytes = /^ {4}(01 00 [0-9a-f ]+)$/m.exec(PAGE)?.[1]?.replaceAll(' ', '') ?? ''
  const block = decodeBlock(0, Buffer.from(bytes, 'hex'))
  expect([...block.at_ms]).toEqual([0, 1000, 2000, 3500])
  expect([...block.values]).toEqual([18.06, 18.07, 18.05, 18.05])
  expect([...block.statuses]).toEqual([0, 0, 1, 2])
})
