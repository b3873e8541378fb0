import { describe, expect, it } from 'vitest'
import { NOTHING_READ, outlook, type ReadingState, withReading, withReadings } from './beer-reading.ts'
import { ANY_YEAST, alePoints, aleReadings, SETUP } from './testing/cases.ts'

const readAll = (readings: ReturnType<typeof aleReadings>, setup = SETUP) =>
  readings.reduce((state: ReadingState, reading) => withReading(setup, state, reading), NOTHING_READ)

describe('a beer that is read', () => {
  it('gives the same for the same readings and seed, through JSON as well', () => {
    const readings = aleReadings(40, 2)
    const straight = readAll(readings)
    const through = readings.reduce(
      (state: ReadingState, reading) => JSON.parse(JSON.stringify(withReading(SETUP, state, reading))),
      NOTHING_READ,
    )
    expect(outlook(SETUP, through, 40)).toEqual(outlook(SETUP, straight, 40))
  })

  it('narrows as it ferments, and holds the truth', () => {
    const width = (until_h: number) => {
      const { final } = outlook(SETUP, readAll(aleReadings(until_h, 2)), until_h)
      expect(final.p5).toBeLessThan(11.5)
      expect(final.p95).toBeGreaterThan(10.5)
      return final.p95 - final.p5
    }
    const [early, middle, late] = [width(24), width(60), width(110)]
    expect(middle).toBeLessThan(early)
    expect(late).toBeLessThan(middle / 2)
  })

  it('reads the same one by one as all at once', () => {
    const readings = aleReadings(60, 2)
    const setup = { ...SETUP, members: 600 }
    const one = outlook(setup, readAll(readings, setup), 60)
    const all = outlook(setup, withReadings(setup, NOTHING_READ, readings), 60)
    expect(one.gravity.p50).toBeCloseTo(all.gravity.p50, 0)
    expect(Math.abs(one.final.p50 - all.final.p50)).toBeLessThan(1.5)
  })

  it('knows the gravity better than a single reading', () => {
    const { gravity, fall_per_d } = outlook(SETUP, readAll(aleReadings(48, 1)), 48)
    expect(Math.abs(gravity.p50 - alePoints(48))).toBeLessThan(0.8)
    expect(fall_per_d.p50).toBeGreaterThan(15)
    expect(fall_per_d.p50).toBeLessThan(40)
  })

  it('is not moved by a reading that is far off', () => {
    const readings = aleReadings(60, 2)
    const spoilt = readings.map((reading, index) =>
      index === 20 ? { ...reading, points: reading.points + 25 } : reading,
    )
    const setup = { ...SETUP, members: 600 }
    const good = outlook(setup, withReadings(setup, NOTHING_READ, readings), 60)
    const after = outlook(setup, withReadings(setup, NOTHING_READ, spoilt), 60)
    expect(Math.abs(after.final.p50 - good.final.p50)).toBeLessThan(1.5)
  })

  it('finds a float that shows too much against a hydrometer', () => {
    const two = {
      ...SETUP,
      members: 600,
      instruments: [
        { ...SETUP.instruments[0]!, bias_points: 4 },
        { ...SETUP.instruments[0]!, noise_points: 0.5 },
      ],
    }
    const float = aleReadings(110, 4).map(each => ({ ...each, points: each.points + 5 }))
    const byHand = aleReadings(110, 22, 2).map(each => ({ ...each, instrument: 1 }))
    const both = [...float, ...byHand].sort((a, b) => a.at_h - b.at_h)
    const { gravity } = outlook(two, withReadings(two, NOTHING_READ, both), 110)
    expect(Math.abs(gravity.p50 - alePoints(110))).toBeLessThan(1)
  })

  it('reads without any temperature and with a single reading', () => {
    const state = withReading(SETUP, NOTHING_READ, { instrument: 0, at_h: 0, points: 50 })
    const { final } = outlook(SETUP, state, 0)
    expect(final.p95 - final.p5).toBeGreaterThan(8)
  })

  it('says that it has finished long after the end, and stuck where it stopped far too high', () => {
    const done = outlook(SETUP, readAll(aleReadings(140, 4)), 140)
    expect(done.finished).toBeGreaterThan(0.8)
    expect(done.stuck).toBeLessThan(0.05)
    const stopped = aleReadings(140, 4).map(each => ({ ...each, points: Math.max(each.points, 24) }))
    const stuck = outlook(SETUP, readAll(stopped), 140)
    expect(stuck.stuck).toBeGreaterThan(0.8)
  })

  it('has members for yeasts that were seen, for any yeast, and for none', () => {
    const names = ANY_YEAST.members.map(member => member.name)
    expect(names).toContain('any yeast')
    expect(names).toContain('no yeast')
    expect(names.length).toBeGreaterThan(20)
  })
})
