import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { partOfText } from './part-of-text.ts'

const folder = new URL('../../../../examples/', import.meta.url)

test.each(readdirSync(folder).filter(name => /\.(plan|vessel|beer)\.yaml$/.test(name)))(
  '%s is what it is',
  name => {
    expect(partOfText(readFileSync(new URL(name, folder), 'utf8'))).toBe(name.split('.').at(-2))
  },
)

test('JSON is told apart too, and anything else is none of them', () => {
  expect(partOfText('{ "plan": "Ale", "stages": [] }')).toBe('plan')
  expect(partOfText('{\n  "vessel": "Bucket", "beer": "20 L" }')).toBe('vessel')
  expect(partOfText('a letter to my aunt')).toBe(null)
})
