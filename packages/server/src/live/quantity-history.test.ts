import { readFileSync } from 'node:fs'
import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import { expect, test } from 'vitest'
import type { BatchRecord, Stream } from '../store/store.ts'
import { QuantityHistory } from './quantity-history.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8')

const BATCH: BatchRecord = {
  id: 'b1',
  name: 'Amber ale',
  vessel: 'Garage fridge',
  planText: example('amber-ale.plan.yaml'),
  vesselText: example('garage-fridge.vessel.yaml'),
  beerText: example('amber-ale.beer.yaml'),
  localOffset_s: 0,
  started_ms: 0,
  ended_ms: null,
}

const takes = (number: number, at_s: number, instrument: string | null): NumberedEntry => ({
  number,
  at_ms: at_s * 1000,
  kind: 'decision',
  event: { kind: 'in charge', at_s, quantity: 'gravity', instrument, before: null },
})

/** Each instrument shows a value of its own, once in a second. */
function source(entries: readonly NumberedEntry[]) {
  const asked: Stream[] = []
  const read: number[] = []
  return {
    asked,
    read,
    log: (_batch: string, after: number, limit: number) => {
      read.push(after)
      return entries.filter(({ number }) => number > after).slice(0, limit)
    },
    buckets: (stream: Stream, from_ms: number, to_ms: number, count: number) => {
      asked.push(stream)
      const value = stream.instrument.length
      return Array.from({ length: count }, (_, n) => ({
        from_ms: from_ms + (n * (to_ms - from_ms)) / count,
        count: 1,
        min: value,
        max: value,
        mean: value,
      }))
    },
  }
}

// A float fell silent after a week, the hydrometer took over, and the week was gone from the chart.
test('what an instrument has shown stays when another one takes over', () => {
  const history = new QuantityHistory(
    source([takes(1, 0, 'Float'), takes(2, 600, null), takes(3, 700, 'Hydrometer')]),
  )
  const found = history.buckets(BATCH, 'gravity', 0, 1_000_000, 10)
  expect(found.map(({ from_ms, instrument }) => [from_ms, instrument])).toEqual([
    [0, 'Float'],
    [100_000, 'Float'],
    [200_000, 'Float'],
    [300_000, 'Float'],
    [400_000, 'Float'],
    [500_000, 'Float'],
    [700_000, 'Hydrometer'],
    [800_000, 'Hydrometer'],
    [900_000, 'Hydrometer'],
  ])
  expect(found[6]!.mean).toBe('Hydrometer'.length)
})

test('of a journal only what is new is read', () => {
  const entries = [takes(1, 0, 'Float')]
  const from = source(entries)
  const history = new QuantityHistory(from)
  history.buckets(BATCH, 'gravity', 0, 10_000, 1)
  entries.push(takes(2, 5, 'Hydrometer'))
  expect(history.buckets(BATCH, 'gravity', 0, 10_000, 2).map(({ instrument }) => instrument)).toEqual([
    'Float',
    'Hydrometer',
  ])
  expect(from.read).toEqual([0, 1])
})

test('before anybody was believed, it is what the most trusted instrument shows', () => {
  const from = source([])
  const history = new QuantityHistory(from)
  expect(history.buckets(BATCH, 'beer', 0, 10_000, 1)).toHaveLength(1)
  expect(from.asked).toEqual([{ vessel: 'Garage fridge', instrument: 'Probe', quantity: 'beer' }])
  expect(history.buckets(BATCH, 'pH', 0, 10_000, 1)).toEqual([])
})
