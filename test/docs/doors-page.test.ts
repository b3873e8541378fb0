import { readFileSync } from 'node:fs'
import { readDoorSettings } from '@attemper/server/doors/door-settings.ts'
import { expect, test } from 'vitest'

const page = readFileSync(new URL('../../docs/reference/doors.md', import.meta.url), 'utf8')

test('the doors on the page can be written so', () => {
  const blocks = [...page.matchAll(/```yaml\n([\s\S]*?)```/g)].map(([, text]) => text!)
  const [before = '', targets = ''] = page.split('## Targets out')
  const rowsOf = (part: string, key: string) =>
    [...part.matchAll(/^\| `(\{.*\}|none)` \|/gm)].map(([, text]) => `${key}: ${text}`)
  const rows = [...rowsOf(before, 'cooler'), ...rowsOf(targets, 'thermostat')]
  const listened = [...page.matchAll(/^\| `((?:one-wire|hwmon): [^`]*)` \|/gm)].map(
    ([, text]) => `listen: { Probe: { ${text} } }`,
  )
  expect([blocks.length, rows.length, listened.length]).toEqual([2, 7, 2])
  for (const text of [...blocks, ...rows, ...listened]) {
    expect([text, readDoorSettings(text, 'doors').findings]).toEqual([text, []])
  }
})
