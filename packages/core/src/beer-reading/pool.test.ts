import { describe, expect, it } from 'vitest'
import { readLearned, writeLearned } from './learned.ts'
import { LEARNED_BATCHES } from './learned-batches.ts'
import { diagonal } from './matrix.ts'
import { type FittedBatch, pool, priorFrom } from './pool.ts'
import { WIDE } from './prior.ts'

const learned = readLearned(LEARNED_BATCHES)

/** A batch of a yeast that lies this far in ln half-time from what is usual, well recorded. */
const batch = (name: string, yeast: string, later: number): FittedBatch => ({
  name,
  yeast,
  mean: WIDE.mean.map((value, index) => (index === 1 ? value + later : value)),
  covariance: diagonal(WIDE.mean.map(() => 0.05 ** 2)),
})

describe('partial pooling', () => {
  it('is pulled gently by one batch and more by five', () => {
    const halfOf = (count: number) => {
      const own = Array.from({ length: count }, (_, index) => batch(`new-${index}`, 'new', 1.5))
      const place = pool([...learned, ...own]).yeasts.find(each => each.yeast === 'new')!
      return { mean: place.mean[1]!, sd: Math.sqrt(place.covariance[7]!) }
    }
    const truth = WIDE.mean[1]! + 1.5
    const [one, five] = [halfOf(1), halfOf(5)]
    expect(Math.abs(five.mean - truth)).toBeLessThan(Math.abs(one.mean - truth))
    expect(five.sd).toBeLessThan(one.sd * 0.7)
  })

  it('finds yeasts further apart than batches of one yeast, in speed and in attenuation', () => {
    const { between, within } = pool(learned)
    for (const place of [0, 1]) expect(between[place * 7]!).toBeGreaterThan(2 * within[place * 7]!)
  })

  it('gives the half-time of one yeast the spread that batches of one house have, 15 to 25 %', () => {
    const sd = Math.sqrt(pool(learned).within[7]!)
    expect(sd).toBeGreaterThan(0.15)
    expect(sd).toBeLessThan(0.25)
  })

  it('gives a yeast with batches the most weight, and all weights add up to one', () => {
    const pooled = pool(learned)
    for (const yeast of [undefined, 'pilot2025-tank-22C-ale']) {
      const { members } = priorFrom(pooled, yeast)
      expect(members.reduce((total, each) => total + each.weight, 0)).toBeCloseTo(1, 9)
      if (yeast) expect(members[0]!.weight).toBeGreaterThan(0.8)
    }
  })

  it('writes fitted batches as text and reads them back', () => {
    expect(learned.length).toBeGreaterThan(40)
    expect(readLearned(learned.map(writeLearned).join('\n'))).toEqual(learned)
  })
})
