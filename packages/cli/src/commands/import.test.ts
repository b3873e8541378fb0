import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarBench } from '../testing/cellar-bench.ts'
import { expectShape } from '../testing/expect-shape.ts'

const recorded = (name: string) =>
  readFileSync(new URL(`../../../../test/published/data/recorded/${name}.csv`, import.meta.url), 'utf8')

const VESSEL = `vessel: Old tun
beer: 1000 L
heat paths: { beer to wall: 100 W/°C, wall stores: 100 kJ/°C, wall to room: 50 W/°C }
room: { average: 12 °C }
instruments:
  - { instrument: Saccharometer, by hand: true, every: 2 d, measures: { gravity: {} } }
  - { instrument: Thermometer, every: 1 h, measures: { beer: {} } }
`
const BEER = `beer: New ale
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: One stage
stages:
  - stage: Primary
    hold: 18 °C
    until: { since pitch: 9 d }
    at most: 10 d
    if late: ask
`
const HOUR_MS = 3_600_000
const PITCHED_MS = Date.UTC(1829, 2, 3, 7)

let bench: CellarBench
beforeAll(async () => {
  bench = await CellarBench.open()
  for (const [name, text] of Object.entries({ vessel: VESSEL, beer: BEER, plan: PLAN })) {
    bench.write(`${name}.yaml`, text)
  }
  expect((await bench.run(['vessel', 'add', 'vessel.yaml'])).status).toBe(0)
})
afterAll(() => bench.close())

async function kept(instrument: string, quantity: string, from = '1800-01-01T00:00Z') {
  const query = new URLSearchParams({ vessel: 'Old tun', instrument, quantity, from, limit: '100000' })
  const response = await fetch(`${bench.cellar.url}/readings?${query}`)
  expect(response.status).toBe(200)
  return (await response.json()) as { at_ms: number; value: number; status: string }[]
}

/** The cells of a record as readings, read here by hand. */
function readingsOf(text: string, column: string) {
  const [header = '', ...lines] = text.trim().split('\n')
  const names = header.split(',')
  const [time, value] = [names.indexOf('time_h'), names.indexOf(column)]
  return lines
    .map(line => line.split(','))
    .filter(cells => cells[value] !== '')
    .map(cells => ({
      at_ms: PITCHED_MS + Math.round(Number(cells[time]) * HOUR_MS),
      value: Number(cells[value]),
      status: 'good',
    }))
}

describe('a fermentation of 1829', () => {
  const record = recorded('sduk1829-scotch-ale')
  const words = ['import', 'ale.csv', '--vessel', 'old-tun', '--start', '1829-03-03T07:00Z']

  test('is shown first, and left alone until somebody says yes', async () => {
    bench.write('ale.csv', record)
    const { status, err } = await bench.run(words)
    expect(status).toBe(2)
    expect(err).toContain('from 3 March 1829, 07:00 UTC')
    expect(err).toMatch(/as\s+gravity of Saccharometer/)
    expect(err).toContain('They can not be taken out again. Say so with --yes.')
    const refused = await bench.run(words, { ask: async () => 'no' })
    expect(refused.status).toBe(0)
    expect(refused.err).toContain('Nothing was imported.')
    expect(await kept('Saccharometer', 'gravity')).toEqual([])
  })

  test('stands in the records, reading by reading', async () => {
    const { status, out, err } = await bench.run([...words, '--yes'])
    expect(status, err).toBe(0)
    const gravity = readingsOf(record, 'gravity')
    const beer = readingsOf(record, 'temperature_C')
    expect(gravity.length).toBeGreaterThan(5)
    expect(out).toBe(`${gravity.length + beer.length} readings are in the records of Old tun now.\n`)
    expect(await kept('Saccharometer', 'gravity')).toEqual(gravity)
    expect(await kept('Thermometer', 'beer')).toEqual(beer)
  })

  test('a second time changes nothing', async () => {
    const before = await kept('Saccharometer', 'gravity')
    const { status, out } = await bench.run([...words, '--yes'])
    expect(status).toBe(0)
    expect(out).toMatch(/^Nothing is new: all \d+ readings were in the records of Old tun already\./)
    expect(await kept('Saccharometer', 'gravity')).toEqual(before)
    const asData = expectShape('import', (await bench.run([...words, '--yes', '--json'])).out)
    expect(asData).toMatchObject({
      vessel: 'Old tun',
      from: '1829-03-03T07:00:00.000Z',
      stored: 0,
      refused: [],
    })
    expect(asData.repeated).toBe(asData.readings)
  })
})

describe('what can not be taken', () => {
  test('is told with its line, and the rest is stored', async () => {
    const lines = [
      'time,beer',
      '2024-01-01T00:00Z,18',
      'yesterday,18',
      '2024-01-01T01:00Z,warm',
      '2099-01-01T00:00Z,18',
      '2024-01-01T02:00Z,18.2',
    ]
    bench.write('odd.csv', `${lines.join('\n')}\n`)
    const { status, out, err } = await bench.run(['import', 'odd.csv', '--vessel', 'Old tun', '--yes'])
    expect(status).toBe(1)
    expect(err).toContain('Line 3 has no time that can be read as iso, and is left out.')
    expect(err).toContain('Line 4 has no number in column beer.')
    expect(out).toContain('2 readings are in the records of Old tun now.')
    expect(out).toMatch(/1 reading was refused:\n {2}line 5: 2099-01-01T00:00:00\.000Z is still to come\./)
    expect((await kept('Thermometer', 'beer', '2024-01-01T00:00Z')).map(({ value }) => value)).toEqual([
      18, 18.2,
    ])
  })

  test('for a vessel, an instrument or a start that is missing is refused before anything is sent', async () => {
    bench.write('hours.csv', 'time_h,beer\n0,18\n')
    const say = async (...words: string[]) =>
      (await bench.run(['import', 'hours.csv', '--yes', ...words])).err
    expect(await say('--vessel', 'Old tin')).toContain('Did you mean Old tun?')
    expect(await say('--vessel', 'Old tun')).toContain('say with --start when that was')
    expect(await say('--vessel', 'Old tun', '--start', '2025-01-01', '--instrument', 'Float')).toContain(
      'it has Saccharometer, Thermometer',
    )
  })
})

describe('the zone of the times', () => {
  test('is that of the file, or of --utc-offset; else that of this machine, which is said', async () => {
    const read = async (time: string, ...words: string[]) => {
      bench.write('one.csv', `time,beer\n${time},17\n`)
      const { out } = await bench.run([
        'import',
        'one.csv',
        '--vessel',
        'Old tun',
        '--yes',
        '--json',
        ...words,
      ])
      const { from, notes } = expectShape('import', out)
      return { from, notes: notes.join(' ') as string }
    }
    expect((await read('2025-07-01T12:00+02:00', '--utc-offset', '-05:00')).from).toBe(
      '2025-07-01T10:00:00.000Z',
    )
    const said = await read('2025-07-01 12:00', '--utc-offset', '+02:00')
    expect(said.from).toBe('2025-07-01T10:00:00.000Z')
    expect(said.notes).not.toContain('zone')
    const assumed = await read('2025-07-01 12:00')
    expect(assumed.from).toBe(new Date(2025, 6, 1, 12).toISOString())
    expect(assumed.notes).toContain('taken as local times of this machine')
  })
})

describe('while a batch runs in the vessel', () => {
  test('what is from before it does not touch it; what is from its time must be meant for it', async () => {
    const started = await bench.run([
      'start',
      'plan.yaml',
      '--vessel',
      'Old tun',
      '--beer',
      'beer.yaml',
      '--json',
    ])
    expect(started.status, started.err).toBe(0)
    const { batch } = JSON.parse(started.out)
    const journal = () => bench.cellar.cellar.log(batch, 0, 1000).length
    const before = journal()
    const now_ms = bench.cellar.clock.now_ms()
    bench.write('old.csv', `time,gravity\n${new Date(now_ms - HOUR_MS).toISOString()},1.050\n`)
    const words = (file: string) => ['import', file, '--vessel', 'Old tun', '--yes']
    expect((await bench.run(words('old.csv'))).status).toBe(0)
    expect(journal()).toBe(before)
    expect(bench.cellar.cellar.view(batch).gravity).toBeNull()

    bench.write('own.csv', `time,gravity\n${new Date(now_ms).toISOString()},1.049\n`)
    const refused = await bench.run(words('own.csv'))
    expect(refused.status).toBe(1)
    expect(refused.err).toContain(`1 of the readings is from the time of ${batch}`)
    expect(bench.cellar.cellar.view(batch).gravity).toBeNull()
    const meant = await bench.run([...words('own.csv'), '--to-batch'])
    expect(meant.status).toBe(0)
    expect(meant.err).toMatch(/which is told of them\s+now/)
    expect(bench.cellar.cellar.view(batch).gravity).toBe(1.049)
  })
})

test('a long log comes in parts, and how far it is can be seen', async () => {
  const rows = Array.from(
    { length: 2500 },
    (_, minute) => `${1_700_000_000 + minute * 60},${18 + (minute % 7) / 10}`,
  )
  bench.write('long.csv', `timestamp,beer\n${rows.join('\n')}\n`)
  const words = ['import', 'long.csv', '--vessel', 'Old tun', '--time-unit', 'unix', '--yes']
  let now_ms = 0
  const { status, out, err } = await bench.run(words, { errIsTerminal: true, now_ms: () => (now_ms += 1000) })
  expect(status).toBe(0)
  expect(out).toContain('2500 readings are in the records')
  expect(err).toContain('2000 of 2500 readings are handed in')
  const found = await kept('Thermometer', 'beer', '2023-11-01T00:00Z')
  const own = found.filter(({ at_ms }) => at_ms < 1_701_000_000_000)
  expect(own.map(({ at_ms, value }) => `${at_ms / 1000},${value}`)).toEqual(rows)
})
