import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../../test/judge-all.ts'
import { decode } from './decode.ts'
import type { DecodeContext } from './decode-context.ts'
import { decodeValue } from './decode-value.ts'
import { LIMITS } from './limits.ts'
import type { Mapping } from './mapping.ts'
import { inOwnUnit } from './own-unit.ts'
import { readTime } from './time-format.ts'

const now_ms = 1_800_000_000_000
const bytes = (text: string) => new TextEncoder().encode(text)
const json = (value: unknown) => bytes(JSON.stringify(value))

const FLOAT: Mapping = {
  instrument: 'Float',
  readings: [
    { at: '/gravity', quantity: 'gravity', unit: '°P' },
    { at: '/temp/f', quantity: 'beer', unit: '°F' },
  ],
  time: { at: '/ts', format: 'unix s' },
}

test('JSON through a mapping, with units and time', () => {
  const body = json({ gravity: '12.0', temp: { f: 64.4 }, ts: 1_799_990_000 })
  const { reports, refused } = decode('application/json; charset=utf-8', body, {
    vessel: 'Garage fridge',
    mapping: 'float',
    mappings: { float: FLOAT },
    now_ms,
  })
  expect(refused).toEqual([])
  const at = { vessel: 'Garage fridge', instrument: 'Float', at_ms: 1_799_990_000_000, status: 'good' }
  // 12 °P is 1.0484 (NBS Circular 440).
  expect(reports).toEqual([
    { ...at, quantity: 'gravity', value: expect.closeTo(1.0484, 4) },
    { ...at, quantity: 'beer', value: expect.closeTo(18, 9) },
  ])
})

test('many items in one message; what is missing in one does not spoil the others', () => {
  const mapping: Mapping = {
    items: '/log',
    readings: [{ at: '/1', quantity: 'beer', instrument: 'Probe', unit: 'K' }],
    time: { at: '/0', format: 'ISO 8601' },
  }
  const log = [
    ['2027-01-15T08:00:00Z', 291.15],
    ['2027-01-15T09:30+01:30', 292.15],
    ['2027-01-15T08:00', 292],
    ['2027-01-15T08:01:00Z'],
    ['2027-01-15T08:02:00.250Z', 'nan'],
  ]
  const { reports, refused } = decode('application/json', json({ log }), { vessel: 'A', mapping, now_ms })
  expect(reports.map(({ value, at_ms }) => [value, at_ms])).toEqual([
    [18, Date.UTC(2027, 0, 15, 8)],
    [19, Date.UTC(2027, 0, 15, 8)],
  ])
  expect(refused.map(({ index, code }) => [index, code])).toEqual([
    [2, 'wrong-shape'],
    [3, 'wrong-shape'],
    [4, 'not-a-number'],
  ])
  expect(refused[1]!.message).toBe('"/1" is not there: the array has 1 elements.')
})

test('a faulty or unknown mapping says so', () => {
  const refusal = (mapping: Mapping | string) =>
    decode('application/json', json({}), { vessel: 'A', mapping, mappings: { float: FLOAT }, now_ms })
      .refused[0]?.message
  expect(refusal('flaot')).toBe('There is no mapping “flaot”. There are: float.')
  expect(refusal({ readings: [] })).toMatch(/no readings/)
  expect(refusal({ readings: [{ at: 'x', quantity: 'beer', instrument: 'P' }] })).toMatch(
    /begin with a slash/,
  )
  expect(refusal({ readings: [{ at: '/x', quantity: 'beer', instrument: 'P', unit: 'bar' }] })).toMatch(
    /no unit/,
  )
})

test('times in the formats of devices', () => {
  expect(readTime('1799990000.5', 'unix s')).toEqual({ ok: true, at_ms: 1_799_990_000_500 })
  expect(readTime(1_799_990_000_500, 'unix ms')).toEqual({ ok: true, at_ms: 1_799_990_000_500 })
  expect(readTime('2028-02-29T23:59:60Z', 'ISO 8601')).toEqual({ ok: true, at_ms: Date.UTC(2028, 2, 1) })
  for (const wrong of ['2027-02-29T00:00Z', '2027-13-01T00:00Z', '2027-01-01', 'now', 12, null]) {
    expect(readTime(wrong, 'ISO 8601').ok).toBe(false)
  }
  expect(readTime(Number.NaN, 'unix s').ok).toBe(false)
  expect(readTime(1e300, 'unix s').ok).toBe(false)
})

test('units of each quantity', () => {
  const own = (value: number, unit: string, quantity: string) => {
    const converted = inOwnUnit(value, unit, quantity)
    return converted.ok ? Number(converted.value.toFixed(4)) : converted.code
  }
  expect(own(50, '°F', 'beer')).toBe(10)
  expect(own(283.15, 'K', 'air')).toBe(10)
  expect(own(48, 'points', 'gravity')).toBe(1.048)
  expect(own(12, 'psi', 'pressure')).toBe(82737.0875)
  expect(own(55, '%', 'humidity')).toBe(0.55)
  expect(own(3, 'kW', 'power')).toBe(3000)
  expect(own(3, 'kW', 'beer')).toBe('wrong-shape')
  expect(own(-300, '°C', 'beer')).toBe('out-of-range')
})

test('a single value: a plain number, or with unit and time', () => {
  const name = { vessel: 'A', instrument: 'Probe', quantity: 'beer' }
  const value = (text: string) => decodeValue(bytes(text), name, { now_ms })
  expect(value('18.25').reports).toEqual([{ ...name, value: 18.25, at_ms: now_ms, status: 'good' }])
  expect(value('{"value":"64.4","unit":"°F","at":1799990000}').reports).toEqual([
    { ...name, value: expect.closeTo(18, 9), at_ms: 1_799_990_000_000, status: 'good' },
  ])
  expect(value('{"value":18,"at":"2027-01-15T08:00:00Z"}').reports[0]?.at_ms).toBe(Date.UTC(2027, 0, 15, 8))
  for (const wrong of [
    '',
    'NaN',
    '-inf',
    'null',
    'true',
    '1e308',
    '"warm"',
    '[18]',
    '{"temp":18}',
    '18,5',
    '9'.repeat(2000),
  ]) {
    const { reports, refused } = value(wrong)
    expect([wrong, reports.length, refused.length]).toEqual([wrong, 0, 1])
    expect(refused[0]!.message).toMatch(/^\S.*\.$/)
  }
})

const CONTEXTS: readonly DecodeContext[] = [
  { now_ms },
  { now_ms, vessel: 'A', mapping: FLOAT },
  { now_ms, vessel: 'A', mapping: { items: '', ...FLOAT } },
]

test('garbage is refused with a sentence, whatever its type', () => {
  const garbage: readonly (readonly [string, Uint8Array])[] = [
    ['empty', bytes('')],
    ['NaN', bytes('[{"n":"a/b/beer","v":NaN}]')],
    ['an infinite number', bytes('[{"n":"a/b/beer","v":1e999}]')],
    ['invalid UTF-8', Uint8Array.from([0x5b, 0x22, 0xff, 0xfe, 0x22, 0x5d])],
    ['a million brackets', bytes('['.repeat(1_000_000))],
    ['a million objects', bytes('{"a":'.repeat(500_000))],
    ['a million arrays in CBOR', new Uint8Array(1_000_000).fill(0x81)],
    [
      'an array of CBOR that says to be huge',
      Uint8Array.from([0x9b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff]),
    ],
    ['10 MB', new Uint8Array(10_000_000).fill(0x20)],
    ['too many records', json(Array.from({ length: LIMITS.records + 1 }, () => ({ n: 'a/b/beer', v: 1 })))],
    ['a prototype', bytes('[{"__proto__":{"n":"a/b/beer"},"v":1}]')],
  ]
  for (const [name, body] of garbage) {
    for (const type of [
      undefined,
      'application/json',
      'application/senml+json',
      'application/senml+cbor',
      'text/html',
    ]) {
      for (const context of CONTEXTS) {
        const { reports, refused } = decode(type, body, context)
        expect([name, type, reports.length, refused.length > 0]).toEqual([name, type, 0, true])
        for (const { message } of refused) expect(message).toMatch(/^\S[^\n]*\.$/)
      }
    }
  }
})

test('never throws, whatever the bytes', ({ task }) => {
  const type = fc.constantFrom(
    undefined,
    'application/json',
    'application/senml+json',
    'application/senml+cbor',
  )
  judge(
    task,
    { cases: 500 },
    [type, fc.uint8Array({ maxLength: 200 }), fc.constantFrom(...CONTEXTS)],
    (contentType, body, context) => {
      const { reports, refused } = decode(contentType, body, context)
      return reports.length + refused.length > 0
    },
  )
})

test('never throws, whatever the JSON, and no report is more than a number at a time', ({ task }) => {
  const label = fc.constantFrom('bn', 'bt', 'bu', 'bv', 'bver', 'n', 'u', 'v', 'vs', 't', 's', 'x_', 'x')
  const value = fc.oneof(
    fc.double(),
    fc.constantFrom('a/b/beer', 'Cel', 'a/b/', 'beer'),
    fc.jsonValue({ maxDepth: 2 }),
  )
  // What is drawn at random is hardly ever a reading, so some are nearly one.
  const reading = fc.record(
    {
      n: fc.constantFrom('a/b/beer', 'a/b/gravity', 'a'),
      u: fc.constantFrom('Cel', 'SG', 'x'),
      v: fc.oneof(fc.double({ min: -30, max: 120, noNaN: true }), value),
      t: fc.oneof(fc.integer({ min: -3600, max: 0 }), value),
    },
    { requiredKeys: ['n', 'v'] },
  )
  const record = fc.oneof(fc.dictionary(label, value, { maxKeys: 5 }), fc.jsonValue({ maxDepth: 2 }), {
    weight: 4,
    arbitrary: reading,
  })
  judge(task, { cases: 500, least: 20 }, [fc.array(record, { minLength: 1, maxLength: 4 })], pack => {
    const { reports, refused } = decode('application/senml+json', json(pack), { now_ms })
    for (const report of reports) {
      expect(Number.isFinite(report.value) && Number.isSafeInteger(report.at_ms)).toBe(true)
    }
    for (const { index } of refused) expect(index).toBeLessThan(pack.length)
    return reports.length
  })
})
