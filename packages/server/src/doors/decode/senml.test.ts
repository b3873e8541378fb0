import { readFileSync } from 'node:fs'
import { encode } from 'cborg'
import { expect, test } from 'vitest'
import { decode } from './decode.ts'
import { readSenmlCbor } from './senml-cbor.ts'
import { type ResolvedRecord, resolveSenml } from './senml-resolve.ts'

interface Pack {
  readonly section: string
  readonly pack: readonly Readonly<Record<string, unknown>>[]
  readonly resolved_here: readonly Omit<ResolvedRecord, 'index'>[]
}

/** RFC 8428, section 5.1. */
const vectors = JSON.parse(
  readFileSync(new URL('../testing/data/senml-rfc8428.json', import.meta.url), 'utf8'),
) as {
  readonly packs: readonly Pack[]
  readonly valid: readonly { readonly pack: Pack['pack']; readonly values_resolved?: readonly number[] }[]
  readonly invalid: readonly { readonly pack: Pack['pack']; readonly why: string }[]
  readonly unknownLabel: { readonly pack: Pack['pack'] }
}

const now_ms = 1_800_000_000_000
const json = (pack: unknown) => new TextEncoder().encode(JSON.stringify(pack))
const senml = (pack: unknown, vessel?: string) =>
  decode('application/senml+json', json(pack), { now_ms, ...(vessel === undefined ? {} : { vessel }) })

/** Labels of RFC 8428 section 6, written a second time, the other way round. */
const CBOR_LABELS: Readonly<Record<string, number>> = {
  ...{ bver: -1, bn: -2, bt: -3, bu: -4, bv: -5, bs: -6 },
  ...{ n: 0, u: 1, v: 2, vs: 3, vb: 4, s: 5, t: 6, ut: 7, vd: 8 },
}
const asCbor = (pack: Pack['pack']) =>
  encode(pack.map(record => new Map(Object.entries(record).map(([k, v]) => [CBOR_LABELS[k] ?? k, v]))))

test('the ten packs of the RFC resolve as they should, from JSON and from CBOR', () => {
  expect(vectors.packs).toHaveLength(10)
  for (const { section, pack, resolved_here } of vectors.packs) {
    const cbor = readSenmlCbor(asCbor(pack))
    for (const given of [pack, cbor.ok ? (cbor.value as Pack['pack']) : []]) {
      const { records, refused } = resolveSenml(given)
      expect([section, refused]).toEqual([section, []])
      expect(records.map(({ index: _, t: __, ...record }) => record)).toEqual(
        resolved_here.map(({ t: _, ...record }) => record),
      )
      for (const [n, { t }] of records.entries()) expect(t).toBeCloseTo(resolved_here[n]!.t, 3)
    }
  }
})

test('section 5.1.4 is the resolution of 5.1.3', () => {
  const [base, resolved] = ['5.1.3', '5.1.4'].map(section => vectors.packs.find(p => p.section === section)!)
  const names = ({ pack }: Pack) => resolveSenml(pack).records.map(({ index: _, ...record }) => record)
  expect(names(base!)).toEqual(resolved!.pack)
})

test('base values are added, a sum alone is allowed, a name may begin with a digit', () => {
  for (const { pack, values_resolved } of vectors.valid) {
    const { records, refused } = resolveSenml(pack)
    expect(refused).toEqual([])
    if (values_resolved !== undefined) expect(records.map(({ v }) => v)).toEqual(values_resolved)
  }
  expect(resolveSenml(vectors.unknownLabel.pack).records).toHaveLength(1)
})

test('packs that break a rule are refused with a sentence', () => {
  for (const { pack, why } of vectors.invalid) {
    const { records, refused } = resolveSenml(pack)
    expect([why, records.length, refused.length]).toEqual([why, 0, 1])
    expect(refused[0]!.message).toMatch(/\.$/)
  }
})

test('names, units and times become those of the vessel', () => {
  const pack = [
    { bn: 'garage-fridge/float/', bt: -120, n: 'gravity', u: 'kg/m3', v: 1045.9 },
    { n: 'beer', u: 'K', v: 291.3, t: 60 },
    { bn: 'garage-fridge/hall/', bt: 1_799_999_000, n: 'humidity', u: '%RH', v: 55 },
    { n: 'pressure', u: 'Pa', v: 50_000 },
    { n: 'pH', u: 'pH', v: 4.6 },
    { n: 'beer', u: 'Cel', v: 18.5 },
  ]
  const { reports, refused } = senml(pack)
  expect(refused).toEqual([])
  // Density of water at 20 °C: 998.2 kg/m³ (CIPM), so 1045.9 kg/m³ is 1.0478.
  expect(reports.find(({ quantity }) => quantity === 'gravity')).toMatchObject({
    ...{ vessel: 'garage-fridge', instrument: 'float', at_ms: now_ms - 120_000, status: 'good' },
    value: expect.closeTo(1.0478, 4),
  })
  expect(reports.map(({ quantity, value, at_ms }) => [quantity, value.toFixed(3), at_ms])).toEqual([
    ['gravity', '1.048', now_ms - 120_000],
    ['beer', '18.150', now_ms - 60_000],
    ['humidity', '0.550', 1_799_999_000_000],
    ['pressure', '50000.000', 1_799_999_000_000],
    ['pH', '4.600', 1_799_999_000_000],
    ['beer', '18.500', 1_799_999_000_000],
  ])
})

test('a time is relative just below 2^28', () => {
  const at = (t: number) => senml([{ n: 'a/b/beer', v: 18, t }]).reports[0]!.at_ms
  expect(at(2 ** 28)).toBe(2 ** 28 * 1000)
  expect(at(2 ** 28 - 1)).toBe(now_ms + (2 ** 28 - 1) * 1000)
  expect(at(-5.5)).toBe(now_ms - 5500)
})

test('bad records are refused one by one', () => {
  const { reports, refused } = senml([
    { bn: 'a/probe/', n: 'beer', v: 18 },
    { n: 'beer', vs: 'warm' },
    { n: 'beer', v: '18' },
    'beer',
    { n: 'beer', v: 1e308 },
    { n: 'beer', u: 'kg', v: 18 },
    { n: 'beer', v: 19, t: 1 },
    { n: 'beer/deep/er', v: 19 },
  ])
  expect(reports.map(({ value }) => value)).toEqual([18, 19])
  expect(refused.map(({ index, code }) => [index, code])).toEqual([
    [1, 'not-a-number'],
    [2, 'not-a-number'],
    [3, 'wrong-shape'],
    [4, 'out-of-range'],
    [5, 'wrong-shape'],
    [7, 'wrong-shape'],
  ])
  for (const { message } of refused) expect(message).toMatch(/^\S.*\.$/)
})

test('reports keep the order and the positions in which they were sent', () => {
  const { reports, positions, refused } = senml([
    { bn: 'a/probe/' },
    { n: 'beer', v: 1, t: 5 },
    { n: 'beer', v: 'x' },
    { n: 'beer', v: 2, t: -5 },
  ])
  expect([reports.map(({ value }) => value), positions, refused.map(({ index }) => index)]).toEqual([
    [1, 2],
    [1, 3],
    [2],
  ])
})

test('the door of one vessel takes nothing for another', () => {
  const { reports, refused } = senml(
    [
      { n: 'probe/beer', v: 18 },
      { n: 'garage-fridge/probe/beer', v: 19 },
      { n: 'kettle/probe/beer', v: 20 },
    ],
    'Garage fridge',
  )
  expect(reports.map(({ vessel, value }) => [vessel, value])).toEqual([
    ['Garage fridge', 18],
    ['Garage fridge', 19],
  ])
  expect(refused).toMatchObject([{ index: 2, code: 'unknown-vessel' }])
})

test('CBOR: decimal fractions and big integers are numbers, NaN is none', () => {
  const cbor = (value: unknown) =>
    decode(
      'application/senml+cbor',
      encode([
        new Map<number, unknown>([
          [0, 'a/b/beer'],
          [2, value],
        ]),
      ]),
      { now_ms },
    )
  expect(cbor(18.25).reports[0]?.value).toBe(18.25)
  expect(cbor(Number.NaN).refused).toMatchObject([{ code: 'not-a-number' }])
  expect(cbor(2n ** 60n).refused).toMatchObject([{ code: 'out-of-range' }])
  // 81 (array) a2 (map) 00 "a/b/beer" 02 c4 (tag 4) 82 (array) 21 (-2) 19 0721 (1825): 18.25, written by hand.
  const written = Uint8Array.from([
    0x81,
    0xa2,
    0x00,
    0x68,
    ...Buffer.from('a/b/beer'),
    0x02,
    0xc4,
    0x82,
    0x21,
    0x19,
    0x07,
    0x21,
  ])
  expect(decode(undefined, written, { now_ms }).reports[0]?.value).toBe(18.25)
})
