import { readFileSync } from 'node:fs'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { describe, expect, test } from 'vitest'
import type { Given } from '../command.ts'
import { csvTable } from './csv-table.ts'
import { decode } from './decode.ts'
import { mappingFor, readWishes } from './mapping.ts'
import { readTime, zoneOffset_s } from './reading-time.ts'
import { readingUnit } from './reading-unit.ts'
import { recordedReadings } from './recorded-readings.ts'
import { vesselAsRecorded } from './vessel-as-recorded.ts'

const garage = new URL('../../../../examples/garage-fridge.vessel.yaml', import.meta.url)
const vessel = readVessel(readFileSync(garage, 'utf8'), 'garage').vessel!
const PITCH_s = Date.UTC(2026, 11, 4, 18) / 1000
/** Channels of the garage refrigerator: 0 the probe's beer, 1 the air, 2 the float's gravity, 3 the float's beer. */
const BEER = 0
const GRAVITY = 2
const FLOAT_BEER = 3

function given(options: Record<string, string | readonly string[]>): Given {
  const texts = (name: string): readonly string[] => [options[name] ?? []].flat()
  return {
    arguments: [],
    words: [],
    switch: name => name in options,
    text: name => texts(name)[0],
    texts,
    count: (_name, usual) => usual,
  }
}

function read(text: string, options: Record<string, string | readonly string[]> = {}, start_s?: number) {
  const table = csvTable(text, 'log.csv')
  const mapping = mappingFor(readWishes(given(options), '.'), table.header, 'log.csv', null)
  return recordedReadings(table, mapping, vessel, PITCH_s, start_s)
}

describe('decoding', () => {
  const text = 'Zeit;Würze °C\n0;18,5\n'

  test('by the byte-order mark, or by what is valid', () => {
    const utf16 = Buffer.from(`\ufeff${text}`, 'utf16le')
    expect(decode(utf16)).toEqual({ text, note: null })
    expect(decode(Buffer.from(`\ufeff${text}`))).toEqual({ text, note: null })
    expect(decode(Buffer.from(text))).toEqual({ text, note: null })
  })

  test('says what it assumed when the bytes do not say', () => {
    const bare16 = decode(Buffer.from(text, 'utf16le'))
    expect(bare16.text).toBe(text)
    expect(bare16.note).toContain('UTF-16LE')
    const swapped = decode(Buffer.from(text, 'utf16le').swap16())
    expect(swapped.text).toBe(text)
    const latin = decode(Buffer.from(text, 'latin1'))
    expect(latin.text).toBe(text)
    expect(latin.note).toContain('Windows-1252')
  })
})

describe('tables', () => {
  test.each([',', ';', '\t'] as const)(
    'separated by %j, also when names hold other separators',
    separator => {
      const other = separator === ',' ? ';' : ','
      const text = ['time_h', `"beer${other} ${other}${other} C"`, 'gravity'].join(separator)
      const table = csvTable(`${text}\r\n1${separator}18${separator}1.05\r\n`, 'log.csv')
      expect(table.separator).toBe(separator)
      expect(table.header).toEqual(['time_h', `beer${other} ${other}${other} C`, 'gravity'])
      expect(table.rows).toEqual([{ line: 2, cells: ['1', '18', '1.05'] }])
    },
  )

  test('keep the lines of the file through comments, blank lines and quoted line ends', () => {
    const table = csvTable('# log\ntime_h,note\n\n1,"two\nlines"\n# more\n2,# not a comment\n', 'log.csv')
    expect(table.rows.map(row => row.cells)).toEqual([
      ['1', 'two\nlines'],
      ['2', '# not a comment'],
    ])
    expect(table.rows.at(-1)!.line).toBe(7)
  })

  test.each([
    ['', 'empty'],
    ['time_h,beer\n', 'no reading'],
    ['a\u0000b', 'not a text'],
    ['time_h,beer\n1,"open', 'can not be read as CSV'],
  ])('%j is refused', (text, why) => {
    expect(() => csvTable(text, 'log.csv')).toThrow(why)
  })
})

describe('times', () => {
  // Unix times from the POSIX definition: 2026-12-04T18:00Z is 1796407200.
  const moment_s = 1_796_407_200

  test.each([
    ['1.5', 'h', 5400],
    ['1,5', 'h', 5400],
    ['90', 'min', 5400],
    ['0.5', 'd', 43_200],
    ['2026-12-04T18:00', 'iso', moment_s],
    ['2026-12-04 18:00:30', 'iso', moment_s + 30],
    ['2026-12-04T18:00Z', 'iso', moment_s],
    ['2026-12-04T19:00+01:00', 'iso', moment_s],
    ['2026-12-04', 'iso', moment_s - 18 * 3600],
    ['04.12.2026 18:00', 'dmy', moment_s],
    ['4/12/26, 18:00', 'dmy', moment_s],
    ['12/04/2026 6:00 PM', 'mdy', moment_s],
    ['12/04/2026 12:00 am', 'mdy', moment_s - 18 * 3600],
    [String(moment_s), 'unix', moment_s],
    [`${moment_s}000`, 'unix-ms', moment_s],
  ] as const)('%s as %s', (text, unit, expected_s) => {
    expect(readTime(text, unit, 0)).toBe(expected_s)
  })

  test('that name a zone are told on the clock of the vessel', () => {
    expect(readTime('2026-12-04T18:00Z', 'iso', 3600)).toBe(moment_s + 3600)
    expect(readTime('2026-12-04T18:00', 'iso', 3600)).toBe(moment_s)
    expect(zoneOffset_s('-05:30')).toBe(-19_800)
  })

  test.each([
    ['yesterday', 'iso'],
    ['2026-13-01', 'iso'],
    ['12/04/2026', 'iso'],
    ['', 'h'],
    ['NaN', 'h'],
    ['1e999x', 'unix'],
  ] as const)('%j is no time as %s', (text, unit) => {
    expect(readTime(text, unit, 0)).toBeNull()
  })
})

describe('units', () => {
  test.each([
    // Fixed points of the scales: water boils at 100 °C = 212 °F = 373.15 K = 80 °Ré.
    ['beer', '°F', 212, 100],
    ['beer', 'K', 373.15, 100],
    ['beer', '°Ré', 80, 100],
    // ASBC table: 12 °P is 1.04838.
    ['gravity', '°P', 12, 1.04838],
    ['gravity', 'points', 48, 1.048],
    ['gravity', 'thousandths', 1048, 1.048],
    // NIST SP 811: 1 psi = 6894.757 Pa.
    ['pressure', 'psi', 10, 68_947.57],
    ['humidity', '%', 65, 0.65],
  ])('%s in %s', (quantity, unit, value, expected) => {
    expect(readingUnit(quantity, unit)!.of(value)).toBeCloseTo(expected, 4)
  })

  test('of another quantity are refused', () => {
    expect(readingUnit('gravity', '°C')).toBeNull()
  })
})

describe('what a refractometer shows', () => {
  const header = ['time_h', 'shown']
  const wish = () => readWishes(given({ 'gravity-column': 'shown:°Bx' }), '.')

  test('becomes a gravity from the original one', () => {
    const { columns } = mappingFor(wish(), header, 'log.csv', 1.0501)
    expect(columns[0]!.unit.of(6.4)).toBeCloseTo(1.0118, 4)
  })

  test('tells nothing without it', () => {
    expect(() => mappingFor(wish(), header, 'log.csv', null)).toThrow(/reads the alcohol too/)
  })
})

describe('recorded readings', () => {
  test('find their columns by name and their channels by trust', () => {
    const { readings, notes, start_s } = read(
      'time_h,temperature_C,gravity,note\n0,18,1.050,pitched\n24,18.5,1.040,\n',
    )
    expect(start_s).toBe(PITCH_s)
    expect(notes).toEqual([])
    expect(readings).toEqual([
      { channel: BEER, value: 18, at_s: PITCH_s },
      { channel: GRAVITY, value: 1.05, at_s: PITCH_s },
      { channel: BEER, value: 18.5, at_s: PITCH_s + 86_400 },
      { channel: GRAVITY, value: 1.04, at_s: PITCH_s + 86_400 },
    ])
  })

  test('take units, decimal commas and instruments as they were said', () => {
    const { readings } = read('When;Temp;Extract\n04.12.2026 18:00;64,4;12,0\n', {
      time: 'When',
      'time-unit': 'dmy',
      'beer-column': 'Temp:°F',
      'gravity-column': 'Extract:°P',
      instrument: ['beer=Float'],
    })
    expect(readings[0]).toMatchObject({ channel: FLOAT_BEER, at_s: PITCH_s })
    expect(readings[0]!.value).toBeCloseTo(18, 9)
    expect(readings[1]!.value).toBeCloseTo(1.0484, 4)
  })

  test('an instrument named alone stands for all that it measures', () => {
    const { readings } = read('time_h,temperature_C\n0,18\n', { instrument: ['Float'] })
    expect(readings[0]!.channel).toBe(FLOAT_BEER)
  })

  test('are put in order, and repeated times keep the last line; notes name the lines', () => {
    const { readings, notes } = read('time_h,temperature_C\n0,18\n2,20\n1,19\n2,21\n')
    expect(readings.map(reading => reading.value)).toEqual([18, 19, 21])
    expect(notes).toContain('Line 4 is earlier than a line above it; the readings were put in order.')
    expect(notes.join()).toMatch(/Line 5 repeats a time/)
  })

  test('gaps and blanks are no readings; what is no number is reported once with its lines', () => {
    const rows = Array.from({ length: 20 }, (_, hour) => `${hour},${hour % 2 === 0 ? 'broken' : '18'}`)
    const { readings, notes } = read(`time_h,temperature_C\n${rows.join('\n')}\n30,\n31,NaN\nnever,18\n`)
    expect(readings).toHaveLength(10)
    expect(notes).toContain(
      'Each of lines 2, 4, 6, 8, 10, 12, 14, 16 and 2 more has no number in column temperature_C.',
    )
    expect(notes).toContain('Line 24 has no time that can be read as h, and is left out.')
  })

  test('moments start the batch with the first of them, unless it is said when it starts', () => {
    const text = 'timestamp,beer\n2026-12-01 06:00,18\n2026-12-05 06:00,19\n'
    expect(read(text).start_s).toBe(Date.UTC(2026, 11, 1, 6) / 1000)
    const later = read(text, {}, PITCH_s)
    expect(later.readings).toHaveLength(1)
    expect(later.notes).toContain('Line 2 lies before the start of the batch, and is left out.')
  })

  test('of a quantity that the vessel does not measure are reported', () => {
    const { notes, readings } = read('time_h,temperature_C,acidity\n0,18,5.2\n', {
      'beer-column': 'temperature_C',
      quantity: ['pH=acidity'],
    })
    expect(notes).toContain('The vessel does not measure pH, so that column acidity is left out.')
    expect(readings).toHaveLength(1)
    expect(() => read('time_h,acidity\n0,5.2\n', { quantity: ['pH=acidity'] })).toThrow('does not measure pH')
  })

  test('a record in which nothing can be read is refused', () => {
    expect(() => read('time_h,temperature_C\n0,cold\n')).toThrow(
      'no reading in the record that can be understood. Line 2 has no number in column temperature_C.',
    )
    expect(() => read('a,b\n0,1\n')).toThrow('looks like a time')
    expect(() => read('time_h,b\n0,1\n')).toThrow('--beer-column')
  })
})

describe('a vessel as a record shows it', () => {
  test('an instrument that speaks once a day in the record is expected once a day', () => {
    const { readings } = read('time_h,gravity\n0,1.05\n24,1.04\n48,1.03\n72,1.02\n')
    const { vessel: adapted, notes } = vesselAsRecorded(vessel, readings)
    const float = adapted.instruments.find(instrument => instrument.name === 'Float')!
    expect(float.every_s).toBe(86_400)
    expect(notes.join()).toContain(
      'Float reports every 30 min by the vessel file, but every 1 d in the record',
    )
    expect(adapted.instruments.find(instrument => instrument.name === 'Probe')!.every_s).toBe(5)
  })
})
