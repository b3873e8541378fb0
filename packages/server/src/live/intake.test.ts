import { describe, expect, it } from 'vitest'
import type { Report } from '../doors/report.ts'
import { START_S, smallCellar, VESSEL } from './testing/small-cellar.ts'

const GOOD: Report = {
  vessel: VESSEL,
  instrument: 'Probe',
  quantity: 'beer',
  value: 18,
  at_ms: START_S * 1000,
  status: 'good',
}

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000

describe('what the doors hand in', () => {
  it('is refused one by one, with a code and a sentence; the rest is stored', async () => {
    const house = smallCellar()
    house.addVessel()
    const bad: readonly [string, Partial<Report>][] = [
      ['unknown-vessel', { vessel: 'Tun' }],
      ['unknown-instrument', { instrument: 'Sonde' }],
      ['unknown-quantity', { quantity: 'gravity' }],
      ['not-a-number', { value: Number.NaN }],
      ['not-a-number', { value: Number.POSITIVE_INFINITY }],
      ['out-of-range', { value: 1e308 }],
      ['wrong-shape', { at_ms: Number.NaN }],
      ['time-in-future', { at_ms: GOOD.at_ms + 6 * MINUTE_MS }],
      ['time-too-old', { at_ms: GOOD.at_ms - 401 * DAY_MS }],
    ]
    const reports = [
      GOOD,
      ...bad.map(([, part]) => ({ ...GOOD, ...part })),
      { ...GOOD, at_ms: GOOD.at_ms - 1000 },
    ]
    const receipt = await house.cellar.accept(reports, 'test')
    expect(receipt).toMatchObject({ stored: 2, repeated: 0 })
    expect(receipt.refused.map(({ index, code }) => [index, code])).toEqual(
      bad.map(([code], index) => [index + 1, code]),
    )
    expect(receipt.refused[1]?.message).toBe(
      'Garage fridge has no instrument "Sonde"; there are: Probe, Air probe, Float.',
    )
    expect(receipt.refused[7]?.message).toContain('6 min ahead')
    expect(await house.cellar.accept([GOOD], 'test')).toEqual({ stored: 0, repeated: 1, refused: [] })
  })

  it('is told to the batch in its vessel, but not what was measured before pitching', async () => {
    const house = smallCellar()
    house.addVessel()
    await house.hear({ 'Float.gravity': 1.003 })
    house.time.moveTo(house.time.now_ms() + MINUTE_MS)
    const batch = house.start()
    expect(house.cellar.view(batch).gravity).toBeNull()
    const late = { ...GOOD, instrument: 'Float', quantity: 'gravity', value: 1.049 }
    await house.cellar.accept([{ ...late, at_ms: GOOD.at_ms + 30_000 }], 'test')
    expect(house.cellar.view(batch).gravity).toBeNull()
    // A float's clock may be a little ahead: its reading counts as taken now.
    await house.cellar.accept([{ ...late, at_ms: GOOD.at_ms + 3 * MINUTE_MS }], 'test')
    expect(house.cellar.view(batch).state.channels.map(({ at_s }) => at_s)).toContain(house.now_s)
    // A first reading is believed when a second one supports it.
    expect(house.cellar.view(batch).gravity).toBeNull()
    house.time.moveTo(house.time.now_ms() + 1000)
    await house.cellar.accept([{ ...late, at_ms: house.time.now_ms() }], 'test')
    expect(house.cellar.view(batch).gravity).toBe(1.049)
    expect(house.cellar.view(batch).sentence).toBe(
      'Amber ale of the first frost: in Primary, just begun, temperature unknown (target 18.0 °C), gravity 1.049. ' +
        'Nobody knows how warm the beer is, so nothing heats or cools: look at the probe.',
    )
    await house.keepHearing(150, { 'Probe.beer': 18.1 })
    expect(house.cellar.view(batch).sentence).toBe(
      'Amber ale of the first frost: in Primary for 2 hours, 18.1 °C (target 18.0 °C), ' +
        'gravity unknown (last 1.049, 2 hours ago); whether all is well is unknown. ' +
        'Air probe has not been heard yet, so the air temperature is unknown. Float has been silent since 18:01.',
    )
  })

  it('loses an instrument that falls silent without another reading having to arrive', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(2, { 'Probe.beer': 18 })
    // Four intervals of a minute (vessel/timeout.ts).
    house.time.moveTo(house.time.now_ms() + 4 * MINUTE_MS)
    expect(house.cellar.view(batch).beer_C).toBeNull()
    expect(house.kinds(batch)).toContain('decision: instrument lost')
  })

  it('of a vessel without a batch is kept all the same', async () => {
    const house = smallCellar()
    house.addVessel()
    await house.hear({ 'Probe.beer': 4 })
    const stream = { vessel: VESSEL, instrument: 'Probe', quantity: 'beer' }
    expect(house.store.latestReading(stream, START_S * 1000)?.value).toBe(4)
  })
})

describe('a log that was kept elsewhere', () => {
  const gravity = (at_ms: number, value = 1.049): Report => ({
    ...GOOD,
    instrument: 'Float',
    quantity: 'gravity',
    at_ms,
    value,
  })
  const YEARS_AGO_MS = Date.UTC(1864, 0, 5)

  it('may be as old as it likes; what is wrong in it is refused one by one', async () => {
    const house = smallCellar()
    house.addVessel()
    const reports = [
      gravity(YEARS_AGO_MS),
      gravity(GOOD.at_ms + 6 * MINUTE_MS),
      gravity(-9e15),
      gravity(Date.UTC(1799, 11, 31)),
      { ...GOOD, instrument: 'Sonde' },
    ]
    const receipt = await house.cellar.acceptPast(VESSEL, reports, false, 'Kim')
    expect(receipt.stored).toBe(1)
    expect(receipt.refused.map(({ index, code }) => [index, code])).toEqual([
      [1, 'time-in-future'],
      [2, 'wrong-shape'],
      [3, 'time-too-old'],
      [4, 'unknown-instrument'],
    ])
    expect(await house.cellar.acceptPast(VESSEL, [gravity(YEARS_AGO_MS, 1.2)], false, 'Kim')).toEqual({
      stored: 0,
      repeated: 1,
      refused: [],
    })
    const stream = { vessel: VESSEL, instrument: 'Float', quantity: 'gravity' }
    expect(house.store.readings(stream, YEARS_AGO_MS, YEARS_AGO_MS + 1)).toMatchObject([{ value: 1.049 }])
  })

  it('is one change in the records, in however many parts it comes', async () => {
    const house = smallCellar()
    house.addVessel()
    for (const at_ms of [1, 2, 3]) await house.cellar.acceptPast(VESSEL, [gravity(at_ms)], false, 'Kim')
    await house.cellar.acceptPast(VESSEL, [gravity(3)], false, 'Sam')
    expect(house.store.audit(9).filter(({ what }) => what.includes('import'))).toEqual([
      { at_ms: GOOD.at_ms, who: 'Kim', what: 'past readings of Garage fridge imported' },
    ])
  })

  it('does not touch a running batch, unless it is meant for it', async () => {
    const house = smallCellar()
    house.addVessel()
    const batch = house.start()
    await house.keepHearing(20, { 'Probe.beer': 18.1 })
    const before = house.cellar.view(batch).state
    const past = [gravity(GOOD.at_ms - DAY_MS), gravity(GOOD.at_ms - 1000)]
    expect(await house.cellar.acceptPast(VESSEL, past, false, 'Kim')).toMatchObject({ stored: 2 })
    expect(house.cellar.view(batch).state).toEqual(before)

    const own = [
      gravity(GOOD.at_ms - 2000),
      gravity(GOOD.at_ms + 18 * MINUTE_MS),
      gravity(GOOD.at_ms + 19 * MINUTE_MS),
    ]
    await expect(house.cellar.acceptPast(VESSEL, own, false, 'Kim')).rejects.toMatchObject({
      code: 'vessel-busy',
      message: expect.stringContaining(`2 of the readings are from the time of ${batch}`),
    })
    expect(house.cellar.view(batch).state).toEqual(before)
    expect(await house.cellar.acceptPast(VESSEL, own, true, 'Kim')).toMatchObject({ stored: 3 })
    expect(house.cellar.view(batch).gravity).toBe(1.049)
  })

  it('belongs to a vessel that is there', async () => {
    const past = smallCellar().cellar.acceptPast('Tun', [gravity(0)], false, 'Kim')
    await expect(past).rejects.toMatchObject({ code: 'unknown-vessel' })
  })
})
