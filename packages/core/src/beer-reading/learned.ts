/** Fitted batches as lines of text, and back: a name, what the record was (a print of its gravities), its numbers. */
import type { FittedBatch } from './pool.ts'
import { YEAST_SIZE } from './prior.ts'

export interface LearnedBatch extends FittedBatch {
  /** Tells whether a record is the one that was learned from. */
  readonly print: string
}

const DIGITS = 4

export function writeLearned(batch: LearnedBatch): string {
  const numbers = [...batch.mean]
  for (let i = 0; i < YEAST_SIZE; i++) {
    for (let j = 0; j <= i; j++) numbers.push(batch.covariance[i * YEAST_SIZE + j]!)
  }
  const cells = numbers.map(value => `${Number(value.toPrecision(DIGITS))}`)
  return [batch.name, batch.yeast, batch.print, ...cells].join(' ')
}

export function readLearned(text: string): readonly LearnedBatch[] {
  return text
    .split('\n')
    .filter(line => line.trim() !== '')
    .map(line => {
      const [name = '', yeast = '', print = '', ...cells] = line.trim().split(' ')
      const numbers = cells.map(Number)
      const covariance = new Float64Array(YEAST_SIZE * YEAST_SIZE)
      let next = YEAST_SIZE
      for (let i = 0; i < YEAST_SIZE; i++) {
        for (let j = 0; j <= i; j++) {
          covariance[i * YEAST_SIZE + j] = numbers[next]!
          covariance[j * YEAST_SIZE + i] = numbers[next++]!
        }
      }
      return { name, yeast, print, mean: numbers.slice(0, YEAST_SIZE), covariance }
    })
}

/** A print of a record: the same gravities give the same, whatever the file is called (FNV-1a). */
export function printOf(points: readonly number[]): string {
  let hash = 0x811c9dc5
  for (const value of points) {
    hash = Math.imul(hash ^ Math.round(value * 10), 0x01000193) >>> 0
  }
  return `${points.length}-${hash.toString(36)}`
}
