import { describe, expect, it } from 'vitest'
import { gather } from './gathered.ts'

const every = (hours: number, until_h: number, points: (at_h: number) => number, instrument = 0) =>
  Array.from({ length: Math.floor(until_h / hours) + 1 }, (_, index) => ({
    instrument,
    at_h: index * hours,
    points: points(index * hours),
  }))

describe('gathered readings', () => {
  it('stay few however long and dense the record is, and keep its course', () => {
    const { groups } = gather(every(0.25, 1000, at_h => 50 - at_h / 50))
    expect(groups.length).toBeLessThanOrEqual(65)
    expect(groups.length).toBeGreaterThan(30)
    for (const group of groups) expect(group.points).toBeCloseTo(50 - group.at_h / 50, 0)
  })

  it('take the median of neighbours, which one outlier does not move', () => {
    const readings = every(0.25, 1.75, () => 40).map((each, index) =>
      index === 3 ? { ...each, points: 90 } : each,
    )
    expect(gather(readings).groups).toMatchObject([{ points: 40, count: 8 }])
  })

  it('keep instruments apart, and take one that comes late to its place', () => {
    const late = { instrument: 1, at_h: 3, points: 44 }
    const { groups } = gather([...every(1, 10, () => 40), late])
    expect(groups.filter(each => each.instrument === 1)).toMatchObject([{ points: 44, count: 1 }])
    expect(groups.map(each => each.at_h)).toEqual(groups.map(each => each.at_h).toSorted((a, b) => a - b))
  })
})
