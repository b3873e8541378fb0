import { expect, test } from 'vitest'
import { likelyChannel, likelyTimeFormat, likelyUnit } from './likely.ts'

const CHANNELS = [
  { instrument: 'Probe', quantity: 'beer' },
  { instrument: 'Float', quantity: 'gravity' },
  { instrument: 'Float', quantity: 'beer' },
]

test('a number is offered to the channel that its name speaks of', () => {
  expect(likelyChannel('/data/gravity', CHANNELS, [])).toEqual(CHANNELS[1])
  expect(likelyChannel('/temp_f', CHANNELS, [])).toEqual(CHANNELS[0])
  // The float has spoken of its gravity already, so this is its own thermometer.
  expect(likelyChannel('/temp_f', CHANNELS, [CHANNELS[1]!])).toEqual(CHANNELS[2])
  expect(likelyChannel('/x', [], [])).toBeUndefined()
})

// {"air": 18.1} was offered as the reading of the beer's probe, and heats by it when nobody looks twice.
test('what no name speaks of is not guessed', () => {
  const withAir = [...CHANNELS, { instrument: 'Air probe', quantity: 'air' }]
  expect(likelyChannel('/air', withAir, [])).toEqual(withAir[3])
  expect(likelyChannel('/air/temp', withAir, [])).toEqual(withAir[3])
  const roomy = [...CHANNELS, { instrument: 'Box', quantity: 'air' }]
  expect(likelyChannel('/air/temp', roomy, [])).toEqual(roomy[3])
  expect(likelyChannel('/gravity/temp', roomy, [])).toEqual(CHANNELS[0])
  expect(likelyChannel('/air_temp', withAir, [])).toEqual(withAir[3])
  expect(likelyChannel('/air', CHANNELS, [])).toBeUndefined()
  expect(likelyChannel('/battery', CHANNELS, [])).toBeUndefined()
  expect(likelyChannel('', CHANNELS, [])).toBeUndefined()
  // "repair" holds no air, "sgx" no gravity.
  expect(likelyChannel('/repair', withAir, [])).toBeUndefined()
  expect(likelyChannel('/temp', CHANNELS, [CHANNELS[0]!, CHANNELS[2]!])).toBeUndefined()
})

test('an instrument that is named beside it is the one', () => {
  expect(likelyChannel('/float/temp', CHANNELS, [])).toEqual(CHANNELS[2])
  expect(likelyChannel('/probe/temp', CHANNELS, [CHANNELS[1]!])).toEqual(CHANNELS[0])
})

test('its unit and the format of a time are told by their size', () => {
  expect([18, 64, 291].map(value => likelyUnit('beer', value))).toEqual([null, '°F', 'K'])
  expect([1.012, 12.4, 1012].map(value => likelyUnit('gravity', value))).toEqual([null, '°P', 'kg/m3'])
  expect([likelyUnit('humidity', 62), likelyUnit('pH', 5)]).toEqual(['%', null])
  expect(
    ['1764612000', '1764612000123', '"2026-12-01T18:00:00Z"', '18.5', '"abc"'].map(likelyTimeFormat),
  ).toEqual(['unix s', 'unix ms', 'ISO 8601', null, null])
})
