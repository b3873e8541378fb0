import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { lookUp, parsePointer } from './json-pointer.ts'

interface Vectors {
  readonly document: Readonly<Record<string, unknown>>
  readonly strings: readonly (readonly [string, unknown])[]
  readonly fragments: readonly (readonly [string, unknown])[]
  readonly tokens: readonly (readonly [string, readonly string[]])[]
  readonly errors: readonly string[]
}

/** RFC 6901, sections 4 to 6. */
const vectors = JSON.parse(
  readFileSync(new URL('../testing/data/json-pointer-rfc6901.json', import.meta.url), 'utf8'),
) as Vectors

function find(pointer: string): unknown {
  const parsed = parsePointer(pointer)
  if (!parsed.ok) return { problem: parsed.message }
  const looked = lookUp(vectors.document, parsed.tokens)
  return looked.found ? looked.value : { problem: looked.message }
}

test('the twelve pointers and the twelve fragments of the RFC', () => {
  expect(vectors.strings).toHaveLength(12)
  expect(vectors.fragments).toHaveLength(12)
  for (const [pointer, expected] of [...vectors.strings, ...vectors.fragments]) {
    expect([pointer, find(pointer)]).toEqual([
      pointer,
      expected === '<whole document>' ? vectors.document : expected,
    ])
  }
})

test('escapes are decoded in the order that the RFC demands', () => {
  for (const [pointer, tokens] of vectors.tokens) {
    expect(parsePointer(pointer)).toEqual({ ok: true, tokens })
  }
})

test('errors are explained, and inherited names are not there', () => {
  for (const pointer of [...vectors.errors, '/foo/-', '/foo/0/x', '/__proto__', '/foo/length', '#/%zz']) {
    expect([pointer, find(pointer)]).toEqual([pointer, { problem: expect.stringMatching(/\w+.*\.$/) }])
  }
  expect(find('/foo/2')).toEqual({ problem: '"/foo/2" is not there: the array has 2 elements.' })
})
