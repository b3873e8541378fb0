import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect, test } from 'vitest'

const HOUSE = join(import.meta.dirname, '../..')
const PAGE = join(HOUSE, 'docs/safety/hazards.md')
const rows = readFileSync(PAGE, 'utf8')
  .split('\n')
  .filter(line => line.startsWith('| ') && !line.startsWith('| hazard') && !line.startsWith('| ---'))

test('each hazard has a test that is there, with the title that the page quotes', () => {
  let links = 0
  let titles = 0
  for (const row of rows) {
    const shown = row.split('|').at(-2)!.trim()
    if (shown === 'common practice, no test') continue
    const found = [...shown.matchAll(/\[[^\]]+\]\(([^)]+\.ts)\)(?: "([^"]+)")?/g)]
    expect(found.length, row).toBeGreaterThan(0)
    for (const [, path, title] of found) {
      const file = join(dirname(PAGE), path!)
      expect(existsSync(file), path).toBe(true)
      links++
      if (title === undefined) continue
      expect(readFileSync(file, 'utf8'), title).toContain(title)
      titles++
    }
  }
  expect(links).toBeGreaterThan(14)
  expect(titles).toBeGreaterThan(9)
})
