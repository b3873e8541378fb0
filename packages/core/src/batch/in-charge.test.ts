import { expect, test } from 'vitest'
import { chargesOf, type InCharge } from './in-charge.ts'

const taken = (at_s: number, instrument: string | null, quantity = 'gravity'): InCharge => ({
  kind: 'in charge',
  at_s,
  quantity,
  instrument,
  before: null,
})

test('a quantity was told by one instrument after the other, and by nobody in between', () => {
  const events = [
    taken(10, 'Float'),
    taken(12, 'Probe', 'beer'),
    taken(50, null),
    taken(70, 'Hydrometer'),
    taken(90, 'Float'),
  ]
  expect(chargesOf(events, 'gravity', 100_000)).toEqual([
    { instrument: 'Float', from_ms: 10_000, to_ms: 50_000 },
    { instrument: 'Hydrometer', from_ms: 70_000, to_ms: 90_000 },
    { instrument: 'Float', from_ms: 90_000, to_ms: 100_000 },
  ])
})

test('who was in charge for no time at all tells nothing, nor who came later', () => {
  expect(chargesOf([taken(10, 'Float'), taken(10, 'Hydrometer')], 'gravity', 30_000)).toEqual([
    { instrument: 'Hydrometer', from_ms: 10_000, to_ms: 30_000 },
  ])
  expect(chargesOf([taken(40, 'Float')], 'gravity', 30_000)).toEqual([])
})
