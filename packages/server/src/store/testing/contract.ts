import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { RetentionLimits, Store, StoredReading, Thinned } from '../store.ts'
import { randomHistories } from './random-histories.ts'
import { BATCH, BEER, engineState, FLOAT, note, OTHER, reading, VESSEL } from './sample-records.ts'

/** How a kind of store is opened in a folder of its own; opening the same folder again finds what was stored. */
export type OpenStore = (folder: string) => Store

const HOUR = 3_600_000
/** The beginning of an hour. */
const T0 = Math.floor(1_790_000_000_000 / HOUR) * HOUR

/** What every kind of store must do. */
export function describeStore(kind: string, open: OpenStore): void {
  let folder = ''
  let store: Store

  const reopen = () => {
    store.close()
    store = open(folder)
  }

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'attemper-store-'))
    store = open(folder)
  })

  afterEach(() => {
    store.close()
    rmSync(folder, { recursive: true })
  })

  describe(`${kind}: readings`, () => {
    test('come back in the order of time, exactly as given, after reopening too', async () => {
      const given = [
        reading(BEER, T0 + 2000, 18.06),
        reading(BEER, T0, 20.555555555555557, 'uncertain'),
        reading(BEER, T0 + 1000, -40, 'bad'),
        reading(FLOAT, T0, 1.0482),
      ]
      expect(await store.addReadings(given)).toEqual({ stored: 4, repeated: 0 })
      const expected = [given[1], given[2], given[0]]
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(expected)
      reopen()
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(expected)
      expect(store.readings(FLOAT, T0, T0 + HOUR)).toEqual([given[3]])
    })

    test('a range includes its beginning, not its end, and gives the earliest ones up to a limit', async () => {
      await store.addReadings([0, 1, 2, 3].map(i => reading(BEER, T0 + i, i)))
      const values = (from: number, to: number, limit?: number) =>
        store.readings(BEER, T0 + from, T0 + to, limit).map(({ value }) => value)
      expect(values(1, 3)).toEqual([1, 2])
      expect(values(0.5, 3.5)).toEqual([1, 2, 3])
      expect(values(-10, 10, 2)).toEqual([0, 1])
      expect(values(0, 10, 0)).toEqual([])
      expect(values(3, 1)).toEqual([])
      expect(values(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)).toEqual([0, 1, 2, 3])
    })

    test('the same stream and time is stored once, the first value stays', async () => {
      expect(await store.addReadings([reading(BEER, T0, 18), reading(BEER, T0, 19)])).toEqual({
        stored: 1,
        repeated: 1,
      })
      const together = await Promise.all([
        store.addReadings([reading(BEER, T0, 20), reading(BEER, T0 + 1000, 21)]),
        store.addReadings([reading(BEER, T0 + 1000, 22), reading(OTHER, T0, 23)]),
      ])
      expect(together).toEqual([
        { stored: 1, repeated: 1 },
        { stored: 1, repeated: 1 },
      ])
      expect(store.readings(BEER, T0, T0 + HOUR).map(({ value }) => value)).toEqual([18, 21])
    })

    test('a repeated reading is recognised in a sealed hour too, and a late one is taken in', async () => {
      const hour = Array.from({ length: 60 }, (_, i) => reading(BEER, T0 + i * 60_000, 18 + i / 100))
      await store.addReadings(hour)
      sealAll(store, T0 + 10 * HOUR)
      reopen()
      const late = reading(BEER, T0 + 30_000, 17.5, 'uncertain')
      expect(await store.addReadings([reading(BEER, T0 + 60_000, 99), late, late])).toEqual({
        stored: 1,
        repeated: 2,
      })
      const expected = [...hour.slice(0, 1), late, ...hour.slice(1)]
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(expected)
      expect(store.latestReading(BEER, T0 + 45_000)).toEqual(late)
      sealAll(store, T0 + 10 * HOUR)
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(expected)
      expect(await store.addReadings([late])).toEqual({ stored: 0, repeated: 1 })
      expect(await store.verify()).toEqual([])
    })

    test('values that are no numbers, very large or very small come back, sealed or not', async () => {
      const values = [
        Number.NaN,
        Number.POSITIVE_INFINITY,
        Number.NEGATIVE_INFINITY,
        1e308,
        5e-324,
        2 ** 53 - 1,
      ]
      const given = values.map((value, i) => reading(BEER, T0 + i, value, i < 3 ? 'bad' : 'good'))
      await store.addReadings(given)
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(given)
      sealAll(store, T0 + 10 * HOUR)
      expect(store.readings(BEER, T0, T0 + HOUR)).toEqual(given)
    })

    test('a reading that can not be is refused, and those that came with other calls are stored', async () => {
      const good = store.addReadings([reading(BEER, T0, 18)])
      const wrong = store.addReadings([reading(BEER, T0 + 1, 18), reading(BEER, Number.NaN, 18)])
      await expect(wrong).rejects.toThrow('Reading 1 can not be stored. Its time is NaN')
      expect(await good).toEqual({ stored: 1, repeated: 0 })
      expect(store.readings(BEER, T0, T0 + HOUR)).toHaveLength(1)
    })

    test('the latest reading at or before a time', async () => {
      await store.addReadings([T0, T0 + HOUR, T0 + 3 * HOUR].map(at => reading(BEER, at, at)))
      const check = () => {
        expect(store.latestReading(BEER, T0 - 1)).toBeNull()
        expect(store.latestReading(BEER, T0)?.at_ms).toBe(T0)
        expect(store.latestReading(BEER, T0 + 2.5 * HOUR)?.at_ms).toBe(T0 + HOUR)
        expect(store.latestReading(BEER, T0 + 3 * HOUR - 0.5)?.at_ms).toBe(T0 + HOUR)
        expect(store.latestReading(BEER, Number.POSITIVE_INFINITY)?.at_ms).toBe(T0 + 3 * HOUR)
        expect(store.latestReading(OTHER, T0)).toBeNull()
      }
      check()
      sealAll(store, T0 + 3 * HOUR)
      check()
      sealAll(store, T0 + 10 * HOUR)
      check()
    })

    test('streams are listed, all or those of a vessel', async () => {
      expect(store.streams()).toEqual([])
      await store.addReadings([reading(BEER, T0, 18), reading(OTHER, T0, 18), reading(FLOAT, T0, 1.05)])
      expect(store.streams()).toEqual([OTHER, FLOAT, BEER])
      expect(store.streams('garage fridge')).toEqual([FLOAT, BEER])
      expect(store.streams('shed')).toEqual([])
    })

    test('streams whose names only differ in where they are divided are kept apart', async () => {
      const one = { vessel: 'a', instrument: 'bc', quantity: 'd' }
      const other = { vessel: 'ab', instrument: 'c', quantity: 'd' }
      await store.addReadings([reading(one, T0, 1), reading(other, T0, 2)])
      expect(store.readings(one, T0, T0 + 1).map(({ value }) => value)).toEqual([1])
    })

    test('sealing works through all hours that are past, some at each call, and leaves the present one', async () => {
      const hours = 10
      await store.addReadings(Array.from({ length: hours }, (_, i) => reading(BEER, T0 + i * HOUR, i)))
      expect(store.seal(T0 + hours * HOUR)).toBe(true)
      sealAll(store, T0 + hours * HOUR)
      expect(store.readings(BEER, T0, T0 + hours * HOUR).map(({ value }) => value)).toEqual([
        0, 1, 2, 3, 4, 5, 6, 7, 8, 9,
      ])
    })
  })

  describe(`${kind}: buckets`, () => {
    test('a bucket tells how many readings, the least, the greatest and the mean; empty ones are left out', async () => {
      await store.addReadings([
        reading(BEER, T0, 18),
        reading(BEER, T0 + 500, 20, 'uncertain'),
        reading(BEER, T0 + 700, 85, 'bad'),
        reading(BEER, T0 + 900, Number.POSITIVE_INFINITY),
        reading(BEER, T0 + 2000, 30),
        reading(BEER, T0 + 4000, 99),
      ])
      const expected = [
        { from_ms: T0, count: 2, min: 18, max: 20, mean: 19 },
        { from_ms: T0 + 2000, count: 1, min: 30, max: 30, mean: 30 },
      ]
      expect(store.buckets(BEER, T0, T0 + 4000, 4)).toEqual(expected)
      sealAll(store, T0 + 10 * HOUR)
      expect(store.buckets(BEER, T0, T0 + 4000, 4)).toEqual(expected)
      expect(store.buckets(OTHER, T0, T0 + 4000, 4)).toEqual([])
      expect(store.buckets(BEER, T0, T0 + 4000, 0)).toEqual([])
      expect(store.buckets(BEER, T0, T0, 4)).toEqual([])
    })

    test('agree with what is counted reading by reading, whatever was sealed before or came late', async ({
      task,
    }) => {
      await randomHistories(task, async history => {
        const fresh = open(mkdtempSync(join(folder, 'case-')))
        const known = new Map<number, StoredReading>()
        for (const { readings, sealAt_ms } of history.rounds) {
          const added = await fresh.addReadings(readings)
          const before = known.size
          for (const one of readings) if (!known.has(one.at_ms)) known.set(one.at_ms, one)
          expect(added.stored).toBe(known.size - before)
          sealAll(fresh, sealAt_ms)
        }
        const all = [...known.values()].sort((a, b) => a.at_ms - b.at_ms)
        for (const { from_ms, to_ms, count } of history.questions) {
          const inside = all.filter(({ at_ms }) => at_ms >= from_ms && at_ms < to_ms)
          expect(fresh.readings(history.stream, from_ms, to_ms)).toEqual(inside)
          expect(fresh.latestReading(history.stream, from_ms)).toEqual(
            all.findLast(({ at_ms }) => at_ms <= from_ms) ?? null,
          )
          checkBuckets(fresh.buckets(history.stream, from_ms, to_ms, count), inside, from_ms, to_ms, count)
        }
        expect(await fresh.verify()).toEqual([])
        fresh.close()
      })
    })
  })

  describe(`${kind}: what the retention rule gives up`, () => {
    const DAY = 24 * HOUR
    const START = Math.ceil(T0 / DAY) * DAY
    const days = (count: number) => START + count * DAY
    /** Readings of one stream. */
    const A_DAY = 144
    /** Each ten minutes for ten days, of two vessels; all packed. */
    const fill = async () => {
      const at = Array.from({ length: 10 * A_DAY }, (_, i) => START + i * 600_000)
      await store.addReadings(
        at.flatMap(each => [reading(BEER, each, 18 + (each % 7) / 10), reading(OTHER, each, 20)]),
      )
      sealAll(store, days(11))
    }
    const limits = (detail: number, minutes = detail) => ({
      detailFrom_ms: days(detail),
      minutesFrom_ms: days(minutes),
      around_ms: HOUR,
    })
    test('single readings go, and charts of them look the same', async () => {
      await fill()
      const chart = (from: number, to: number, count: number) =>
        store.buckets(BEER, days(from), days(to), count)
      const [hours, minutes] = [chart(0, 10, 20), chart(1, 2, 24 * 6)]
      expect(thinAll(store, limits(5, Number.NEGATIVE_INFINITY))).toEqual({
        readings: 2 * 5 * A_DAY,
        minuteHours: 0,
      })
      expect(store.readings(BEER, START, days(5))).toEqual([])
      expect(store.readings(BEER, days(5), days(10))).toHaveLength(5 * A_DAY)
      const check = () => {
        expect(chart(0, 10, 20)).toEqual(hours)
        // A chart that is finer than a minute in an hour of single readings is drawn from cells of a minute instead.
        expect(chart(1, 2, 24 * 6)).toEqual(
          minutes.map(bucket => ({ ...bucket, mean: expect.closeTo(bucket.mean, 9) })),
        )
      }
      check()
      reopen()
      check()
      expect(await store.verify()).toEqual([])
      expect(thinAll(store, limits(5, Number.NEGATIVE_INFINITY))).toEqual({ readings: 0, minuteHours: 0 })
    })

    test('cells of a minute go too when they are old enough, cells of an hour never', async () => {
      await fill()
      const before = store.buckets(BEER, START, days(10), 10)
      expect(thinAll(store, limits(5, 2))).toEqual({ readings: 2 * 5 * A_DAY, minuteHours: 2 * 48 })
      expect(store.buckets(BEER, START, days(10), 10)).toEqual(before)
      // Within a day of which only hours are left, each hour counts at its beginning.
      const fine = store.buckets(BEER, days(1), days(1) + 2 * HOUR, 120)
      expect(fine.map(({ from_ms, count }) => [from_ms - days(1), count])).toEqual([
        [0, 6],
        [HOUR, 6],
      ])
      expect(await store.verify()).toEqual([])
    })

    test('what lies within a batch of the vessel, or close to one, is never removed', async () => {
      await fill()
      const batch = { ...BATCH, started_ms: days(2) + 30 * 60_000, ended_ms: days(3) }
      store.createBatch(batch)
      store.createBatch({ ...BATCH, id: 'amber-ale-2', started_ms: days(6) })
      const whole = store.readings(BEER, days(2) - 30 * 60_000, days(3) + HOUR)
      const open = store.readings(BEER, days(6) - HOUR, days(10))
      thinAll(store, limits(9))
      expect(store.readings(BEER, days(2) - 30 * 60_000, days(3) + HOUR)).toEqual(whole)
      expect(store.readings(BEER, days(6) - HOUR, days(10))).toEqual(open)
      expect(store.readings(BEER, START, days(2) - HOUR)).toEqual([])
      expect(store.readings(BEER, days(3) + 2 * HOUR, days(6) - HOUR)).toEqual([])
      // The other vessel has no batch.
      expect(store.readings(OTHER, START, days(9))).toEqual([])
      expect(await store.verify()).toEqual([])
    })

    test('with a rule that keeps everything nothing is removed', async () => {
      await fill()
      const [detailFrom_ms, minutesFrom_ms] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
      expect(thinAll(store, { detailFrom_ms, minutesFrom_ms, around_ms: HOUR })).toEqual({
        readings: 0,
        minuteHours: 0,
      })
      expect(store.readings(BEER, START, days(10))).toHaveLength(10 * A_DAY)
    })

    test('a reading that comes later still is stored, and goes with the next removal, unless a batch needs it', async () => {
      await fill()
      thinAll(store, limits(5))
      const late = [reading(BEER, days(1) + 1, 17), reading(BEER, days(3) + 1, 16)]
      expect(await store.addReadings(late)).toEqual({ stored: 2, repeated: 0 })
      sealAll(store, days(11))
      expect(store.readings(BEER, START, days(5))).toEqual(late)
      expect(await store.verify()).toEqual([])
      store.createBatch({ ...BATCH, started_ms: days(3), ended_ms: days(4) })
      expect(thinAll(store, limits(5))).toMatchObject({ readings: 1 })
      expect(store.readings(BEER, START, days(5))).toEqual([late[1]])
      expect(await store.verify()).toEqual([])
    })

    test('only some hours go at each call, so that nobody waits', async () => {
      await fill()
      const first = store.thin(limits(9))
      expect(first.isMore).toBe(true)
      expect(first.readings).toBeLessThan(A_DAY * 2)
    })
  })

  describe(`${kind}: vessels and batches`, () => {
    test('a vessel is added, replaced and removed; its batches and readings stay', async () => {
      store.putVessel(VESSEL)
      store.putVessel({ ...VESSEL, name: 'attic' })
      store.putVessel({ ...VESSEL, text: 'changed', changed_ms: 1_790_000_000_001 })
      store.createBatch(BATCH)
      await store.addReadings([reading(BEER, T0, 18)])
      reopen()
      expect(store.vessels()).toEqual([
        { ...VESSEL, name: 'attic' },
        { ...VESSEL, text: 'changed', changed_ms: 1_790_000_000_001 },
      ])
      store.removeVessel(VESSEL.name)
      store.removeVessel('never there')
      expect(store.vessels().map(({ name }) => name)).toEqual(['attic'])
      expect(store.batches()).toEqual([BATCH])
      expect(store.readings(BEER, T0, T0 + 1)).toHaveLength(1)
    })

    test('a batch is created once, changed, and found again', () => {
      const later = {
        ...BATCH,
        id: 'porter-1',
        started_ms: BATCH.started_ms + 1,
        ended_ms: 1_790_000_100_000,
      }
      store.createBatch(later)
      store.createBatch(BATCH)
      expect(() => store.createBatch(BATCH)).toThrow(expect.objectContaining({ code: 'duplicate' }))
      store.updateBatch(BATCH.id, { planText: 'plan: two' })
      store.updateBatch(BATCH.id, { ended_ms: 1_790_000_200_000 })
      reopen()
      const changed = { ...BATCH, planText: 'plan: two', ended_ms: 1_790_000_200_000 }
      expect(store.batches()).toEqual([changed, later])
      expect(store.batch(BATCH.id)).toEqual(changed)
      expect(store.batch('none')).toBeNull()
      store.updateBatch(BATCH.id, { ended_ms: null })
      expect(store.batch(BATCH.id)?.ended_ms).toBeNull()
      expect(() => store.updateBatch('none', {})).toThrow(expect.objectContaining({ code: 'unknown' }))
    })
  })

  describe(`${kind}: journal`, () => {
    test('entries are numbered from 1 within their batch, and come back as they were', () => {
      store.createBatch(BATCH)
      store.createBatch({ ...BATCH, id: 'porter-1' })
      const entries: readonly JournalEntry[] = [
        note(T0, 'Pitched “warm”, 20 °C \u{1f37a}'),
        { at_ms: T0 + 0.5, kind: 'edit', edit: { kind: 'go to', stage: 'rest' }, by: 'brewer' },
        {
          at_ms: T0 + 1000,
          kind: 'command',
          command: { appliance: 'heater', on: true, until_s: T0 / 1000 + 60, fence: 3 },
        },
        { at_ms: T0 + 2000, kind: 'gap', from_ms: T0 + 1000, to_ms: T0 + 2000 },
      ]
      expect(store.appendJournal(BATCH.id, entries.slice(0, 3), null)).toBe(3)
      expect(store.appendJournal('porter-1', [note(T0, 'another batch')], null)).toBe(1)
      expect(store.appendJournal(BATCH.id, entries.slice(3), null)).toBe(4)
      reopen()
      const numbered = entries.map((entry, i) => ({ ...entry, number: i + 1 }))
      expect(store.journal(BATCH.id)).toEqual(numbered)
      expect(store.journal(BATCH.id, { after: 1, limit: 2 })).toEqual(numbered.slice(1, 3))
      expect(store.journal(BATCH.id, { until_ms: T0 + 1000 })).toEqual(numbered.slice(0, 3))
      expect(store.appendJournal(BATCH.id, [], null)).toBe(4)
    })

    test('the latest state is that of the latest entry which carried one', () => {
      store.createBatch(BATCH)
      expect(store.latestState(BATCH.id)).toBeNull()
      store.appendJournal(BATCH.id, [note(T0, 'first'), note(T0 + 5, 'second')], engineState(1, T0 / 1000))
      store.appendJournal(BATCH.id, [note(T0 + 9, 'third')], null)
      reopen()
      expect(store.latestState(BATCH.id)).toEqual({ state: engineState(1, T0 / 1000), at_ms: T0 + 5 })
      store.appendJournal(BATCH.id, [], engineState(2, T0 / 1000 + 60))
      expect(store.latestState(BATCH.id)).toEqual({
        state: engineState(2, T0 / 1000 + 60),
        at_ms: T0 + 60_000,
      })
    })

    test('entries and state are written together or not at all', () => {
      store.createBatch(BATCH)
      store.appendJournal(BATCH.id, [note(T0, 'first')], engineState(1, T0 / 1000))
      const unwritable = { ...engineState(2, T0 / 1000 + 1), fence: 1n as unknown as number }
      expect(() => store.appendJournal(BATCH.id, [note(T0 + 1, 'second')], unwritable)).toThrow('BigInt')
      expect(store.journal(BATCH.id)).toHaveLength(1)
      expect(store.latestState(BATCH.id)?.state.stage).toBe(1)
      expect(store.appendJournal(BATCH.id, [note(T0 + 1, 'second')], null)).toBe(2)
    })

    test('an unknown batch is named in the error', () => {
      expect(() => store.appendJournal('porter-9', [note(T0, 'x')], null)).toThrow('no batch porter-9')
      expect(() => store.journal('porter-9')).toThrow(expect.objectContaining({ code: 'unknown' }))
      expect(() => store.latestState('porter-9')).toThrow(expect.objectContaining({ code: 'unknown' }))
    })
  })

  describe(`${kind}: the rest`, () => {
    test('documents are kept by name', () => {
      expect(store.getDocument('settings')).toBeNull()
      store.putDocument('settings', '{"unit":"°C"}')
      store.putDocument('settings', '')
      store.putDocument('alarms', '[]')
      reopen()
      expect(store.getDocument('settings')).toBe('')
      expect(store.getDocument('alarms')).toBe('[]')
    })

    test('the audit gives the latest entries, the latest first', () => {
      for (const what of ['one', 'two', 'three']) store.appendAudit({ at_ms: T0, who: 'brewer', what })
      reopen()
      expect(store.audit(2).map(({ what }) => what)).toEqual(['three', 'two'])
      expect(store.audit(10)[2]).toEqual({ at_ms: T0, who: 'brewer', what: 'one' })
    })

    test('a backup taken while readings arrive holds all that was acknowledged before, and is whole', async () => {
      store.createBatch(BATCH)
      await store.addReadings(Array.from({ length: 20_000 }, (_, i) => reading(BEER, T0 + i * 1000, i / 100)))
      store.appendJournal(BATCH.id, [note(T0, 'before')], engineState(1, T0 / 1000))
      const copyFolder = mkdtempSync(join(folder, 'copy-'))
      let isDone = false
      const backup = store.backup(join(copyFolder, 'cellar.db')).finally(() => {
        isDone = true
      })
      let during = 0
      while (!isDone) {
        await store.addReadings([reading(FLOAT, T0 + during++ * 1000, 1.05)])
        store.seal(T0 + 10 * HOUR)
      }
      await backup
      expect(existsSync(join(copyFolder, 'cellar.db.part'))).toBe(false)
      const copy = open(copyFolder)
      expect(copy.readings(BEER, T0, T0 + 10 * HOUR)).toHaveLength(20_000)
      expect(copy.journal(BATCH.id)).toHaveLength(1)
      expect(copy.latestState(BATCH.id)?.state.stage).toBe(1)
      expect(await copy.verify()).toEqual([])
      copy.close()
    })

    test('a backup that was broken off before does not spoil the next one', async () => {
      await store.addReadings([reading(BEER, T0, 18)])
      const copyFolder = mkdtempSync(join(folder, 'copy-'))
      writeFileSync(
        join(copyFolder, 'cellar.db.part'),
        'no database, and long enough to be looked at: '.repeat(500),
      )
      await store.backup(join(copyFolder, 'cellar.db'))
      const copy = open(copyFolder)
      expect(copy.readings(BEER, T0, T0 + 1)).toHaveLength(1)
      copy.close()
    })

    test('closing stores what waits; afterwards the store says that it is closed', async () => {
      const waiting = store.addReadings([reading(BEER, T0, 18)])
      store.close()
      expect(await waiting).toEqual({ stored: 1, repeated: 0 })
      store.close()
      await expect(store.addReadings([reading(BEER, T0, 18)])).rejects.toMatchObject({ code: 'closed' })
      expect(() => store.vessels()).toThrow(expect.objectContaining({ code: 'closed' }))
      store = open(folder)
      expect(store.readings(BEER, T0, T0 + 1)).toHaveLength(1)
    })
  })
}

export function sealAll(store: Store, now_ms: number): void {
  while (store.seal(now_ms));
}

/** The buckets against the readings in their range, counted one by one. */
function checkBuckets(
  buckets: ReturnType<Store['buckets']>,
  inside: readonly StoredReading[],
  from_ms: number,
  to_ms: number,
  count: number,
): void {
  const counted = inside.filter(({ value, status }) => status !== 'bad' && Number.isFinite(value))
  expect(buckets.length).toBeLessThanOrEqual(count)
  expect(buckets.reduce((sum, bucket) => sum + bucket.count, 0)).toBe(counted.length)
  const starts = buckets.map(bucket => bucket.from_ms)
  const gaps = starts.slice(1).map((start, i) => start - (starts[i] ?? 0))
  const width_ms = gaps.length === 0 ? Number.POSITIVE_INFINITY : Math.min(...gaps)
  for (const gap of gaps) expect(gap).toBeGreaterThanOrEqual((Math.ceil(to_ms) - Math.ceil(from_ms)) / count)
  buckets.forEach((bucket, i) => {
    const next_ms = starts[i + 1] ?? Number.POSITIVE_INFINITY
    const members = counted.filter(({ at_ms }) => at_ms >= bucket.from_ms && at_ms < next_ms)
    const values = members.map(({ value }) => value)
    expect(bucket.count).toBe(values.length)
    expect(bucket.min).toBe(Math.min(...values))
    expect(bucket.max).toBe(Math.max(...values))
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length
    const scale = Math.max(...values.map(Math.abs))
    expect(Math.abs(bucket.mean - mean)).toBeLessThanOrEqual(1e-11 * scale)
    const last_ms = members.at(-1)?.at_ms ?? 0
    if (i < buckets.length - 1) expect(last_ms - bucket.from_ms).toBeLessThan(width_ms)
  })
}

/** Until there is nothing more to remove; what that was. */
function thinAll(store: Store, limits: RetentionLimits): Omit<Thinned, 'isMore'> {
  let readings = 0
  let minuteHours = 0
  for (;;) {
    const step = store.thin(limits)
    readings += step.readings
    minuteHours += step.minuteHours
    if (!step.isMore) return { readings, minuteHours }
  }
}
