import { spawnSync } from 'node:child_process'
import {
  closeSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { widthOf } from '@attemper/core/report/text/width.ts'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Io } from './io.ts'
import { COMMANDS, main } from './main.ts'
import { expectShape } from './testing/expect-shape.ts'
import { memoryIo } from './testing/memory-io.ts'

const house = fileURLToPath(new URL('../../../', import.meta.url))
const PLAN = join(house, 'examples/amber-ale.plan.yaml')
const VESSEL = join(house, 'examples/garage-fridge.vessel.yaml')
const BEER = join(house, 'examples/amber-ale.beer.yaml')
const FILES = [PLAN, '--vessel', VESSEL, '--beer', BEER]

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-cli-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

async function run(words: readonly string[], changes: Partial<Io> = {}) {
  const io = memoryIo({ folder, ...changes })
  const status = await main(words, io)
  return { status, ...io.written }
}

function write(name: string, content: string | Uint8Array): string {
  const path = join(folder, name)
  writeFileSync(path, content)
  return path
}

const BROKEN_PLAN = `plan: Broken
stages:
  - stage: Primary
    hold: 18 °C
    until: { gravity: { above final: 10 pionts } }
`

describe('the command line', () => {
  test('without a command says how to use it, and fails', async () => {
    const { status, out, err } = await run([])
    expect(status).toBe(2)
    expect(out).toBe('')
    expect(err).toContain('Usage: attemper COMMAND')
  })

  test.each(COMMANDS.map(command => command.name))(
    'explains %s with examples and exit statuses',
    async name => {
      const { status, out } = await run([name, '--help'], { columns: 60 })
      expect(status).toBe(0)
      expect(out).toContain(`Usage: attemper ${name}`)
      expect(out).toContain('Exit status')
      const [, examples = ''] = out.split('Examples\n')
      expect(examples).toContain(`attemper ${name}`)
      for (const line of out.replace(examples, '').split('\n'))
        expect(widthOf(line), line).toBeLessThanOrEqual(60)
    },
  )

  test.each([
    [['rehaerse'], 'Did you mean rehearse?'],
    [['check'], 'PLAN is missing'],
    [['check', PLAN, 'another'], 'one argument too many'],
    [['check', PLAN, '--vesel', VESSEL], 'Did you mean --vessel?'],
    [['check', PLAN, '--vessel'], '--vessel needs a value'],
    [['check', PLAN, '--json=yes'], '--json takes no value'],
    [['check', PLAN, '--vessel', VESSEL, '--vessel', VESSEL], 'given twice'],
    [['rehearse', PLAN, '--vessel', VESSEL], '--beer FILE is missing'],
    [['rehearse', ...FILES, '--runs', '0'], 'a whole number from 1'],
    [['rehearse', ...FILES, '--runs', '2e3'], 'a whole number from 1'],
    [['rehearse', ...FILES, '--workers', '-1'], '--workers'],
    [['rehearse', ...FILES, '--start', 'tomorrow'], '--start'],
    [['describe', PLAN, '--units', '°X'], 'unknown unit'],
    [['drill', ...FILES, '--only', 'float-silnet'], 'Did you mean float-silent?'],
  ])('%j is refused in one sentence', async (words, sentence) => {
    const { status, out, err } = await run(words)
    expect(status).toBe(2)
    expect(out).toBe('')
    expect(err).toContain(sentence)
    expect(err).not.toContain('    at ')
  })

  test('says its version', async () => {
    const { status, out } = await run(['--version'])
    expect(status).toBe(0)
    expect(out).toMatch(/^attemper \d+\.\d+\.\d+\n$/)
  })
})

describe('files that can not be read', () => {
  test.each([
    ['not there', () => join(folder, 'nothing.yaml'), 'There is no file'],
    ['a folder', () => folder, 'is a folder'],
    ['binary', () => write('binary.yaml', new Uint8Array([1, 0, 2, 0, 0, 3])), 'not a text file'],
    ['another encoding', () => write('latin.yaml', new Uint8Array([0x70, 0xb0, 0x43])), 'UTF-8'],
  ])('%s: status 2 and one sentence', async (_what, file, sentence) => {
    const { status, out, err } = await run(['check', file()])
    expect(status).toBe(2)
    expect(out).toBe('')
    expect(err).toContain(sentence)
    expect(err.trim().split('\n')).toHaveLength(1)
  })

  test('a misspelt name is put right', async () => {
    write('amber.plan.yaml', BROKEN_PLAN)
    const { err } = await run(['check', 'ambre.plan.yaml'])
    expect(err).toContain('Did you mean amber.plan.yaml?')
  })

  test.each(['', '# nothing but a comment\n', 'plan: [', '42', 'a: &a [*a, *a]'])(
    'a file that holds %j has a finding, not a stack trace',
    async text => {
      const { status, out, err } = await run(['check', write('odd.yaml', text)])
      expect(status).toBe(1)
      expect(out).toMatch(/odd\.yaml:\d+:\d+: error /)
      expect(out + err).not.toContain('    at ')
    },
  )
})

describe('check', () => {
  test('quotes the line, underlines the place, names the cure, and fails', async () => {
    const { status, out } = await run(['check', write('broken.plan.yaml', BROKEN_PLAN)])
    expect(status).toBe(1)
    const lines = out.split('\n')
    expect(lines[0]).toMatch(/broken\.plan\.yaml:5:\d+: error /)
    const quoted = lines[1]!
    const carets = lines[2]!
    expect(quoted.slice(carets.indexOf('^'), carets.lastIndexOf('^') + 1)).toContain('pionts')
    expect(out).toContain('points')
    expect(out).toMatch(/error.*should not be started\.\n$/)
  })

  test('has the published shape as JSON, and nothing else on standard output', async () => {
    const { out } = await run(['check', write('broken.plan.yaml', BROKEN_PLAN), '--json'])
    const { findings } = expectShape('check', out)
    expect(findings).toContainEqual(expect.objectContaining({ severity: 'error', line: 5 }))
    const good = await run(['check', ...FILES, '--json'])
    expectShape('check', good.out)
    expect(good.status).toBe(0)
  })

  test('reports a float whose timeout is shorter than it can keep, from the vessel file', async () => {
    const slow = readFileSync(VESSEL, 'utf8').replace('every: 30 min', 'every: 30 min\n    timeout: 130 s')
    const { out } = await run([
      'check',
      PLAN,
      '--vessel',
      write('slow.vessel.yaml', slow),
      '--beer',
      BEER,
      '--json',
    ])
    const found = expectShape('check', out).findings.filter((each: { file: string }) =>
      each.file.endsWith('slow.vessel.yaml'),
    )
    expect(found).toContainEqual(expect.objectContaining({ message: expect.stringContaining('Float') }))
  })
})

describe('describe', () => {
  test('says the plan back in the units that are wanted', async () => {
    const celsius = await run(['describe', PLAN])
    expect(celsius.status).toBe(0)
    expect(celsius.out).toContain('18 °C')
    const fahrenheit = await run(['describe', PLAN, '--fahrenheit'])
    // 18 °C = 64.4 °F.
    expect(fahrenheit.out).toContain('64.4 °F')
    expect(fahrenheit.out).not.toContain('°C')
    expectShape('describe', (await run(['describe', PLAN, '--json'])).out)
  })

  test('takes units from a settings file in the folder, and the command line wins', async () => {
    const settled = join(folder, 'settled')
    mkdirSync(settled)
    writeFileSync(join(settled, 'attemper.settings.yaml'), 'units: [°F]\n')
    expect((await run(['describe', PLAN], { folder: settled })).out).toContain('64.4 °F')
    expect((await run(['describe', PLAN, '--units', '°C'], { folder: settled })).out).toContain('18 °C')
    writeFileSync(join(settled, 'attemper.settings.yaml'), 'unit: [°F]\n')
    const wrong = await run(['describe', PLAN], { folder: settled })
    expect(wrong.status).toBe(2)
    expect(wrong.err).toContain('units: [°F, °P]')
  })

  test('of a plan with errors shows them on standard error', async () => {
    const { status, out, err } = await run(['describe', write('broken.plan.yaml', BROKEN_PLAN)])
    expect(status).toBe(1)
    expect(out).toBe('')
    expect(err).toContain('pionts')
  })
})

describe('rehearse', () => {
  const few = ['--runs', '6', '--no-drills']

  test('gives the same result to the bit, whatever the number of workers', async () => {
    const one = await run(['rehearse', ...FILES, ...few, '--json', '--seed', '7', '--workers', '1'])
    const three = await run(['rehearse', ...FILES, ...few, '--json', '--seed', '7', '--workers', '3'])
    expect(one.status).toBe(0)
    expect(three.out).toBe(one.out)
    const result = expectShape('rehearse', one.out)
    expect(result).toMatchObject({ seed: 7, runs: 6, start: '2026-12-04T18:00' })
    const other = await run(['rehearse', ...FILES, ...few, '--json', '--seed', '8', '--workers', '1'])
    expect(other.out).not.toBe(one.out)
  })

  test('begins with the sentence and ends with a command that repeats it', async () => {
    const { out, err } = await run(['rehearse', ...FILES, ...few, '--workers', '1'])
    expect(out).toMatch(/^Only 6 runs, too few for a verdict: /)
    expect(out.trimEnd().split('\n').at(-1)).toMatch(
      /^ {2}attemper rehearse .* --runs 6 --seed 1 --no-drills$/,
    )
    expect(err).not.toContain('\r')
    for (const line of out.split('\n').slice(0, -2)) expect(widthOf(line), line).toBeLessThanOrEqual(80)
  })

  test('shows its progress to somebody who watches, and takes it away again', async () => {
    let now_ms = 0
    const clock = () => {
      now_ms += 1000
      return now_ms
    }
    const { err } = await run(['rehearse', ...FILES, ...few, '--workers', '1'], {
      errIsTerminal: true,
      now_ms: clock,
    })
    expect(err).toContain('7 of 7 runs')
    expect(err.endsWith('\r\u001b[2K')).toBe(true)
  })

  test('--start moves the batch', async () => {
    const { out } = await run([
      'rehearse',
      ...FILES,
      '--runs',
      '20',
      '--no-drills',
      '--start',
      '2027-03-01T08:00',
    ])
    expect(out).toMatch(/^Probably ready [^;]* March 2027/)
    expect(out).toContain('--start 2027-03-01T08:00')
  })

  test('--show tells one run as a picture and a log', async () => {
    const { status, out } = await run(['rehearse', ...FILES, '--show', '3'])
    expect(status).toBe(0)
    expect(out).toMatch(/^Run 3 of seed 1 /)
    expect(out).toContain('Primary begins.')
    expect(out).not.toMatch(/Cooler on/)
    expect((await run(['rehearse', ...FILES, '--show', '3', '--switches'])).out).toMatch(/(Cooler|Heater) on/)
    expectShape('rehearse-show', (await run(['rehearse', ...FILES, '--show', '3', '--json'])).out)
  })

  test('--html writes a page, and says so on standard error', async () => {
    const { out, err } = await run(['rehearse', ...FILES, ...few, '--html', 'page.html', '--json'])
    expect(err).toContain('Written: page.html')
    expectShape('rehearse', out)
    expect(readFileSync(join(folder, 'page.html'), 'utf8')).toMatch(/^<!doctype html>/)
    const nowhere = await run(['rehearse', ...FILES, ...few, '--html', 'no/such/folder/page.html'])
    expect(nowhere.status).toBe(2)
  })

  test('is not done with a plan that has errors', async () => {
    const broken = write('broken.plan.yaml', BROKEN_PLAN)
    const { status, out, err } = await run(['rehearse', broken, '--vessel', VESSEL, '--beer', BEER])
    expect(status).toBe(1)
    expect(out).toBe('')
    expect(err).toContain('pionts')
  })
})

describe('drill', () => {
  test('fails when a drill fails, and only then', async () => {
    const { status, out } = await run(['drill', ...FILES, '--json'])
    const { drills } = expectShape('drill', out)
    expect(drills.length).toBeGreaterThan(10)
    expect(status).toBe(drills.some((each: { verdict: string }) => each.verdict === 'failed') ? 1 : 0)
    const passed = drills.find((each: { verdict: string }) => each.verdict === 'passed')
    const only = await run(['drill', ...FILES, '--only', passed.drill])
    expect(only.status).toBe(0)
    expect(only.out).toMatch(/^Of 1 drill, 1 passed\./)
  })
})

describe('replay', () => {
  const LAGER_WORT = join(house, 'test/published/data/recorded/haecker1864-pitched.csv')

  test('tells decisions with time and reason, and ends with one sentence', async () => {
    const { status, out, err } = await run(['replay', ...FILES, '--readings', LAGER_WORT])
    expect(status).toBe(0)
    expect(out).toMatch(/^day 1, 18:00 +Gravity is now taken from Float\./)
    expect(out).toMatch(/Primary is over, because the gravity is no more than 10 points/)
    expect(out.trimEnd().split('\n\n').at(-1)).toMatch(/^With this record the plan /)
    expect(err).toContain('time from column time_h (h)')
  })

  test('has the published shape as JSON', async () => {
    const { out, err } = await run(['replay', ...FILES, '--readings', LAGER_WORT, '--json'])
    const data = expectShape('replay', out)
    expect(data.start).toBe('2026-12-04T18:00:00')
    expect(data.decisions.length).toBeGreaterThan(3)
    expect(err).not.toContain('column')
  })

  test('reads a logger of another kind through a mapping file; the command line wins', async () => {
    const log = 'When;Temp;Extract\n04.12.2026 18:00;64,4;12,4\n05.12.2026 18:00;64,6;10,0\n'
    const mapping = `time: When
time unit: dmy
separator: ";"
columns:
  beer: { column: Temp, unit: °F, instrument: Float }
  gravity: { column: Extract, unit: °P }
`
    const words = [...FILES, '--readings', write('log.csv', Buffer.from(log, 'latin1')), '--json']
    const mapped = ['--mapping', write('log.mapping.yaml', mapping)]
    const { status, out } = await run(['replay', ...words, ...mapped])
    expect(status).toBe(0)
    const data = expectShape('replay', out)
    expect(data).toMatchObject({ readings: 4, start: '2026-12-04T18:00:00' })
    const sentences = data.decisions.map((each: { sentence: string }) => each.sentence)
    expect(sentences).toContain('Beer temperature is now taken from Float.')
    const probe = await run(['replay', ...words, ...mapped, '--instrument', 'beer=Probe'])
    expect(probe.out).toContain('Beer temperature is now taken from Probe.')

    for (const [wrong, sentence] of [
      ['tiem: When', 'Did you mean "time"?'],
      ['columns: 3', 'columns should name quantities'],
      ['separator: x', 'separator should be'],
      ['columns: { beer: [1] }', 'columns: beer should be'],
      ['columns: {', 'is not YAML'],
    ] as const) {
      const refused = await run(['replay', ...words, '--mapping', write('wrong.yaml', wrong)])
      expect(refused.status).toBe(2)
      expect(refused.err).toContain(sentence)
    }
  })

  test('unanswered questions stay open', async () => {
    const { out } = await run(['replay', ...FILES, '--readings', LAGER_WORT, '--answers', 'never'])
    expect(out).toMatch(/still\s+unanswered\.\n$/)
  })

  test.each([
    [['--readings', 'nothing.csv'], 'There is no file'],
    [['--readings', LAGER_WORT, '--gravity-column', 'gravty'], 'Did you mean gravity?'],
    [['--readings', LAGER_WORT, '--gravity-column', 'gravity:bar'], 'SG, °P'],
    [['--readings', LAGER_WORT, '--time-unit', 'years'], 'use one of'],
    [['--readings', LAGER_WORT, '--instrument', 'gravity=Buoy'], 'no instrument Buoy'],
    [['--readings', VESSEL], 'vessel.yaml'],
  ])('%j is refused in one sentence', async (words, sentence) => {
    const { status, out, err } = await run(['replay', ...FILES, ...words])
    expect(status).toBe(2)
    expect(out).toBe('')
    expect(err).toContain(sentence)
    expect(err).not.toContain('    at ')
  })
})

describe('new', () => {
  test('writes files without errors or warnings, each line explained, and overwrites nothing', async () => {
    const { status } = await run(['new', 'first', '--yes'])
    expect(status).toBe(0)
    const names = ['plan', 'vessel', 'beer'].map(part => join(folder, 'first', `${part}.yaml`))
    const check = await run(['check', names[0]!, '--vessel', names[1]!, '--beer', names[2]!, '--json'])
    expect(check.status).toBe(0)
    const { findings } = JSON.parse(check.out)
    expect(findings.filter((each: { severity: string }) => each.severity !== 'note')).toEqual([])
    for (const name of names) {
      const lines = readFileSync(name, 'utf8').split('\n')
      const comments = lines.filter(line => line.trim().startsWith('#')).length
      expect(comments).toBeGreaterThan(lines.filter(line => /^\s*[-\w]/.test(line)).length / 3)
    }
    const again = await run(['new', 'first', '--yes'])
    expect(again.status).toBe(2)
    expect(again.err).toContain('is not overwritten')
    expectShape('new', (await run(['new', 'second', '--json'])).out)
  })

  test('asks, understands units, asks again, and writes what was answered', async () => {
    const answers = [
      'Frost: "lager"',
      '25 L',
      '12 °P',
      '',
      'lagr',
      'lager',
      '52 °F',
      'fridge',
      '2027-01-02T09:00',
    ]
    const io = { ask: async () => answers.shift() ?? '' }
    const { status, err } = await run(['new', 'asked'], io)
    expect(status).toBe(0)
    expect(err).toContain('could not be understood')
    const beer = readFileSync(join(folder, 'asked', 'beer.yaml'), 'utf8')
    expect(beer).toContain('start: 2027-01-02T09:00')
    // 12 °P is 1.0484 (ASBC table); 52 °F is 11.1 °C.
    expect(beer).toContain('original gravity: 1.048')
    expect(beer).toContain('starts at: 11.1 °C')
    const names = ['plan', 'vessel', 'beer'].map(part => join(folder, 'asked', `${part}.yaml`))
    const check = await run(['check', names[0]!, '--vessel', names[1]!, '--beer', names[2]!])
    expect(check.out).not.toContain(': error ')
  })

  test('writes a volume in gallons as litres that a person would write', async () => {
    const answers = ['', '5 gal']
    await run(['new', 'gallons'], { ask: async () => answers.shift() ?? '' })
    // 5 US gallons are 18.93 L.
    expect(readFileSync(join(folder, 'gallons', 'vessel.yaml'), 'utf8')).toContain('beer: 18.9 L')
  })

  test('stopped at a question with Ctrl-C writes nothing, and is no fault of the program', async () => {
    const stop = Object.assign(new Error('Aborted with Ctrl+C'), { name: 'AbortError' })
    const { status, err } = await run(['new', 'stopped'], { ask: () => Promise.reject(stop) })
    expect(status).toBe(2)
    expect(err).toContain('nothing was written')
    expect(existsSync(join(folder, 'stopped'))).toBe(false)
  })

  test.runIf(existsSync('/proc/self'))('says so where no folder can be made, and comes back', async () => {
    const { status, err } = await run(['new', '/proc/attemper/first', '--yes'])
    expect(status).toBe(2)
    expect(err).toContain('can not be written')
  })

  test.each(['ale', 'lager', 'wheat', 'saison', 'kveik'])(
    'starts a %s in either equipment without errors',
    async yeast => {
      for (const equipment of ['fridge', 'pad']) {
        const answers = ['', '', '', '', yeast, '', equipment, '']
        const name = `${yeast}-${equipment}`
        await run(['new', name], { ask: async () => answers.shift() ?? '' })
        const names = ['plan', 'vessel', 'beer'].map(part => join(folder, name, `${part}.yaml`))
        const check = await run(['check', names[0]!, '--vessel', names[1]!, '--beer', names[2]!])
        expect(check.out).not.toContain(': error ')
      }
    },
  )
})

test.runIf(existsSync('/dev/full'))('a full disk under the output is said in one sentence', () => {
  const launcher = join(house, 'packages/cli/bin/attemper.js')
  const full = openSync('/dev/full', 'w')
  const { status, stderr } = spawnSync(process.execPath, [launcher, 'describe', PLAN], {
    encoding: 'utf8',
    stdio: ['ignore', full, 'pipe'],
  })
  closeSync(full)
  expect(stderr).toBe('attemper: the output can not be written (ENOSPC).\n')
  expect(status).toBe(2)
})

test('the launcher starts the program', () => {
  const launcher = join(house, 'packages/cli/bin/attemper.js')
  const { status, stdout, stderr } = spawnSync(process.execPath, [launcher, 'describe', PLAN], {
    encoding: 'utf8',
  })
  expect(stderr).toBe('')
  expect(status).toBe(0)
  expect(stdout).toContain('Primary')
})
