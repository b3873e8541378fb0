import { expect, test } from 'vitest'
import { memoryIo } from '../testing/memory-io.ts'
import { plainScreen, terminalScreen } from './watch-screen.ts'

/** What a terminal of few rows shows after a text with the few control sequences that the screen uses. */
function shownBy(text: string, rows: number): string[] {
  let lines = ['']
  let row = 0
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the sequences begin with the escape character
  for (const [part] of text.matchAll(/\u001b\[(\d+)?([AJ])|\r|\n|[^\u001b\r\n]+/g)) {
    // biome-ignore lint/suspicious/noControlCharactersInRegex: as above
    const up = /^\u001b\[(\d+)A$/.exec(part)
    if (up !== null) row = Math.max(0, lines.length - rows, row - Number(up[1]))
    else if (part === '\u001b[J') lines = [...lines.slice(0, row), '']
    else if (part === '\n') lines[++row] ??= ''
    else if (part !== '\r') lines[row] = part
  }
  return lines.map(line => line.trimEnd())
}

test('a terminal shows the latest sentence once, and as much of the log as has room', () => {
  const io = memoryIo({ columns: 20, rows: 6 })
  const screen = terminalScreen(io)
  screen.show(['The beer is at', '18.0 °C.', ''], ['one'])
  screen.show(['The beer is at', '18.1 °C.', ''], ['one', 'two', 'three', 'four'])
  screen.show(['It is done.', ''], ['one', 'two', 'three', 'four', 'five'])
  expect(shownBy(io.written.out, 6)).toEqual(['It is done.', '', 'three', 'four', 'five'])
})

test('a terminal is left alone while nothing changes', () => {
  const io = memoryIo({ columns: 40, rows: 10 })
  const screen = terminalScreen(io)
  screen.show(['All is well.'], ['one'])
  const before = io.written.out
  screen.show(['All is well.'], ['one'])
  expect(io.written.out).toBe(before)
})

test('a pipe gets the first sentence, and each line of the log once', () => {
  const io = memoryIo({ columns: 40 })
  const screen = plainScreen(io)
  screen.show(['All is well.', ''], ['one'])
  screen.show(['All is still well.', ''], ['one', 'two'])
  expect(io.written.out).toBe('All is well.\n\none\ntwo\n')
})
