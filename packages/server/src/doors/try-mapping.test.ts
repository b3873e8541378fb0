import { expect, test } from 'vitest'
import { testVessel } from './testing/heard.ts'
import { tryMapping } from './try-mapping.ts'

const NOW_MS = 1_764_612_000_000
const MAPPING = `instrument: Float
readings:
  - { at: /data/sg, quantity: gravity }
  - { at: /data/temp, quantity: beer, unit: °F }
`
const TEXT = '{"data":{"sg":1.0123,"temp":64.4}}'

const attempt = (part: Partial<Parameters<typeof tryMapping>[0]> = {}) =>
  tryMapping(
    { mapping: MAPPING, contentType: 'application/json', text: TEXT, vessel: 'Garage fridge', ...part },
    [testVessel()],
    NOW_MS,
  )

test('the readings that it would give, in their own units', () => {
  const vessel = 'Garage fridge'
  expect(attempt()).toMatchObject({
    findings: [],
    refused: [],
    readings: [
      { vessel, instrument: 'Float', quantity: 'gravity', value: 1.0123, at_ms: NOW_MS },
      { vessel, instrument: 'Float', quantity: 'beer', value: expect.closeTo(18, 9) },
    ],
  })
})

test('for a vessel that is yet to be, any instrument will do', () => {
  const mapping = MAPPING.replace('Float', 'Whatever it will be called')
  expect(attempt({ mapping, vessel: 'New vessel' }).readings).toMatchObject([
    { vessel: 'New vessel', instrument: 'Whatever it will be called' },
    {},
  ])
  expect(attempt({ mapping }).refused).toMatchObject([
    { code: 'unknown-instrument' },
    { code: 'unknown-instrument' },
  ])
})

test('a mapping as JSON, and a message as SenML without any', () => {
  const mapping = '{"instrument":"Float","readings":[{"at":"/data/sg","quantity":"gravity"}]}'
  expect(attempt({ mapping }).readings).toMatchObject([{ value: 1.0123 }])
  const text = '[{"n":"float/gravity","v":1.010}]'
  expect(attempt({ mapping: null, text }).readings).toMatchObject([{ quantity: 'gravity', value: 1.01 }])
})

test('what is wrong with the message is refused with its place in it', () => {
  expect(attempt({ text: '{"data":{"temp":"warm"}}' }).refused).toMatchObject([
    { code: 'wrong-shape', message: expect.stringContaining('/data') },
    { code: 'not-a-number', message: expect.stringMatching(/^"\/data\/temp": /) },
  ])
  expect(attempt({ text: 'garbage' }).refused).toMatchObject([{ code: 'wrong-shape' }])
})

test('what is wrong with the mapping is found at its line and column', () => {
  const wrong = MAPPING.replace('unit: °F', 'unit: furlong')
  expect(attempt({ mapping: wrong })).toMatchObject({
    findings: [{ severity: 'error', message: expect.stringContaining('furlong') }],
    readings: [],
    refused: [],
  })
  const misspelt = MAPPING.replace('readings:', 'reading:')
  const [finding] = attempt({ mapping: misspelt }).findings
  expect(finding).toMatchObject({ line: 2, column: 1 })
  for (const mapping of ['', 'x', '- a', '"', '{', '\t: :']) {
    expect([mapping, attempt({ mapping }).findings.length]).not.toEqual([mapping, 0])
    for (const { line, column } of attempt({ mapping }).findings) {
      expect([line > 0, column > 0]).toEqual([true, true])
    }
  }
})
