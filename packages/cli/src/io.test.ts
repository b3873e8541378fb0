import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { commandAgain } from './command-again.ts'
import { readCommandLine } from './command-line.ts'
import { CHECK } from './commands/check.ts'
import { forTerminal, headingFor } from './io.ts'
import { unitsFor } from './settings.ts'
import { memoryIo } from './testing/memory-io.ts'

test('headings are bold in a terminal, and plain where that is not wanted', () => {
  const bold = '\u001b[1mStages\u001b[22m'
  expect(headingFor(memoryIo({ outIsTerminal: true, env: {} }))('Stages')).toBe(bold)
  expect(headingFor(memoryIo({ outIsTerminal: true, env: { NO_COLOR: '' } }))('Stages')).toBe(bold)
  expect(headingFor(memoryIo({ outIsTerminal: true, env: { NO_COLOR: '1' } }))('Stages')).toBe('Stages')
  expect(headingFor(memoryIo({ outIsTerminal: true, env: { TERM: 'dumb' } }))('Stages')).toBe('Stages')
  expect(headingFor(memoryIo({ outIsTerminal: false, env: {} }))('Stages')).toBe('Stages')
})

test("units come from the user's own configuration when the folder has none", () => {
  const home = mkdtempSync(join(tmpdir(), 'attemper-settings-'))
  try {
    mkdirSync(join(home, 'attemper'))
    writeFileSync(join(home, 'attemper', 'attemper.settings.yaml'), 'units: °F, °P gal\n')
    const given = readCommandLine(CHECK, ['plan.yaml'])
    if (given === 'help') throw new Error('no help was asked for')
    expect(unitsFor(given, memoryIo({ folder: '/', env: { XDG_CONFIG_HOME: home } }))).toEqual({
      temperature: 'F',
      gravity: 'P',
      volume: 'gal',
    })
    expect(unitsFor(given, memoryIo({ folder: '/' }))).toEqual({
      temperature: 'C',
      gravity: 'SG',
      volume: 'L',
    })
  } finally {
    rmSync(home, { recursive: true })
  }
})

test('a command that is said again can be pasted into a shell', () => {
  expect(commandAgain(['rehearse', 'my plan.yaml', "it's.yaml", 7])).toBe(
    "attemper rehearse 'my plan.yaml' 'it'\\''s.yaml' 7",
  )
})

// The incident: a note with ESC in it cleared the terminal of whoever read the log, and BEL rang.
test('what comes from others is no command to the terminal', () => {
  expect(forTerminal('Note: \u001b[2J\u0007gone\u009b31m \u202egnp.exe\r')).toBe(
    'Note: \ufffd[2J\ufffdgone\ufffd31m \ufffdgnp.exe\ufffd',
  )
  const own = '\u001b[1mStages\u001b[22m\n\tWarm: 18 °C, “冷却”\r\n'
  expect(forTerminal(own)).toBe(own)
})
