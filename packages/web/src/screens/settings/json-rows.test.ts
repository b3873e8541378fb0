import { expect, test } from 'vitest'
import { asNumber, jsonRows, readMessage } from './json-rows.ts'

test('each line of a message has the pointer that names it', () => {
  const rows = jsonRows({ 'a/b': { '~c': ['18.5', true] }, ts: 5 })
  expect(rows.map(({ depth, key, pointer, written }) => [depth, key, pointer, written])).toEqual([
    [0, null, '', null],
    [1, 'a/b', '/a~1b', null],
    [2, '~c', '/a~1b/~0c', null],
    [3, '0', '/a~1b/~0c/0', '"18.5"'],
    [3, '1', '/a~1b/~0c/1', 'true'],
    [1, 'ts', '/ts', '5'],
  ])
  expect(rows.filter(({ isNumber }) => isNumber).map(({ key }) => key)).toEqual(['0', 'ts'])
  expect(jsonRows(18.5)).toMatchObject([{ key: null, pointer: '', isNumber: true }])
  expect(jsonRows(Array.from({ length: 5000 }, (_, index) => index))).toHaveLength(200)
})

test('what is no number, and what is no JSON', () => {
  expect([asNumber(' -1.5e3 '), asNumber('18,5'), asNumber(''), asNumber(null)]).toEqual([
    -1500,
    null,
    null,
    null,
  ])
  expect([readMessage('{"a":'), readMessage(null), readMessage('[1]')]).toEqual([undefined, undefined, [1]])
})
