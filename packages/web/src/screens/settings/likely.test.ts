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
  expect(likelyChannel('/battery', CHANNELS, CHANNELS)).toEqual(CHANNELS[0])
  expect(likelyChannel('/x', [], [])).toBeUndefined()
})

test('its unit and the format of a time are told by their size', () => {
  expect([18, 64, 291].map(value => likelyUnit('beer', value))).toEqual([null, '°F', 'K'])
  expect([1.012, 12.4, 1012].map(value => likelyUnit('gravity', value))).toEqual([null, '°P', 'kg/m3'])
  expect([likelyUnit('humidity', 62), likelyUnit('pH', 5)]).toEqual(['%', null])
  expect(
    ['1764612000', '1764612000123', '"2026-12-01T18:00:00Z"', '18.5', '"abc"'].map(likelyTimeFormat),
  ).toEqual(['unix s', 'unix ms', 'ISO 8601', null, null])
})
