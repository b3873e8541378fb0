/**
 * Partial pooling: from curves fitted to single batches to what is believed of the next one. Batches of one yeast and wort lie
 * about the yeast's own place, yeasts lie about a common place; each fit counts as much as its record allows. Solved by
 * expectation and maximisation (Dempster, Laird and Rubin 1977) for normal spreads. The spreads within and between are held
 * by weak prior ones, since records are few.
 */
import { diagonal, inverse, type Matrix, sum, timesVector } from './matrix.ts'
import { FREE, type Prior, type PriorMember, WIDE, YEAST_SIZE } from './prior.ts'

/** A batch as it was fitted with nothing known of its yeast: place and spread of the numbers of yeast and wort. */
export interface FittedBatch {
  readonly name: string
  /** What batches of one yeast and wort share. */
  readonly yeast: string
  readonly mean: readonly number[]
  readonly covariance: Matrix
}

export interface YeastPlace {
  readonly yeast: string
  readonly batches: number
  readonly mean: Float64Array
  /** How well the place is known. */
  readonly covariance: Matrix
}

export interface Pooled {
  readonly centre: Float64Array
  /** Between yeasts, and between batches of one yeast. */
  readonly between: Matrix
  readonly within: Matrix
  readonly yeasts: readonly YeastPlace[]
}

/**
 * Spreads that are believed before records speak, in the order of the numbers of yeast and wort, and how many batches that
 * belief is worth. Within: attenuation 2 %, half-time 18 %, lag 15 to 45 % (pilot batches of one yeast). Between: judgement.
 */
const WITHIN_SD = [0.1, 0.18, 0.25, 0.4, 0.4, 0.1]
const WITHIN_WORTH = 8
const BETWEEN_SD = [0.5, 0.45, 0.5, 0.7, 0.8, 0.15]
const BETWEEN_WORTH = 6
const ROUNDS = 40
const N = YEAST_SIZE

export function pool(batches: readonly FittedBatch[]): Pooled {
  const yeasts = byYeast(batches)
  let centre = Float64Array.from(WIDE.mean)
  let between = diagonal(BETWEEN_SD.map(sd => sd * sd))
  let within = diagonal(WITHIN_SD.map(sd => sd * sd))
  let places = placesOf(yeasts, centre, between, within)
  for (let round = 0; round < ROUNDS && batches.length > 0; round++) {
    centre = meanOf(places.map(place => place.mean))
    between = spreadBetween(places, centre)
    within = spreadWithin(yeasts, places, within)
    places = placesOf(yeasts, centre, between, within)
  }
  return { centre, between, within, yeasts: places }
}

/** Where each yeast lies, given the common place and the spreads. */
function placesOf(
  yeasts: ReadonlyMap<string, readonly FittedBatch[]>,
  centre: Float64Array,
  between: Matrix,
  within: Matrix,
): readonly YeastPlace[] {
  const known = inverse(between, N)
  return [...yeasts].map(([yeast, batches]) => {
    let precision = known
    const pull = timesVector(known, N, centre)
    for (const batch of batches) {
      const weight = inverse(sum(batch.covariance, within), N)
      precision = sum(precision, weight)
      const part = timesVector(weight, N, batch.mean)
      for (let i = 0; i < N; i++) pull[i]! += part[i]!
    }
    const covariance = inverse(precision, N)
    return { yeast, batches: batches.length, mean: timesVector(covariance, N, pull), covariance }
  })
}

function meanOf(vectors: readonly Float64Array[]): Float64Array<ArrayBuffer> {
  const mean = new Float64Array(N)
  for (const vector of vectors) for (let i = 0; i < N; i++) mean[i]! += vector[i]! / vectors.length
  return mean
}

function spreadBetween(places: readonly YeastPlace[], centre: Float64Array): Matrix {
  let total = diagonal(BETWEEN_SD.map(sd => BETWEEN_WORTH * sd * sd))
  for (const place of places) total = sum(sum(total, place.covariance), outer(place.mean, centre))
  return total.map(value => value / (BETWEEN_WORTH + places.length))
}

/** Along each number only: there are too few batches for more. */
function spreadWithin(
  yeasts: ReadonlyMap<string, readonly FittedBatch[]>,
  places: readonly YeastPlace[],
  within: Matrix,
): Matrix {
  let total = diagonal(WITHIN_SD.map(sd => WITHIN_WORTH * sd * sd))
  let count = WITHIN_WORTH
  const spread = inverse(within, N)
  for (const place of places) {
    const batches = yeasts.get(place.yeast)!
    if (batches.length < 2) continue
    for (const batch of batches) {
      const fit = inverse(batch.covariance, N)
      const covariance = inverse(sum(fit, spread), N)
      const pull = timesVector(fit, N, batch.mean)
      const home = timesVector(spread, N, place.mean)
      const mean = timesVector(
        covariance,
        N,
        pull.map((value, i) => value + home[i]!),
      )
      total = sum(sum(total, covariance), outer(mean, place.mean))
      // One batch in each yeast goes on finding the yeast's own place.
      count += 1 - 1 / batches.length
    }
  }
  return diagonal(Array.from({ length: N }, (_, i) => total[i * N + i]! / count))
}

function outer(a: ArrayLike<number>, b: ArrayLike<number>): Matrix {
  const made = new Float64Array(N * N)
  for (let i = 0; i < N; i++) {
    for (let j = 0; j < N; j++) made[i * N + j] = (a[i]! - b[i]!) * (a[j]! - b[j]!)
  }
  return made
}

/** Shares of the mixture; chosen by how well they forecast records that were left out. */
const SHARES = { alike: 0.35, anyYeast: 0.4, free: 0.25 } as const
/** How many batches of a yeast it takes until the next one is more likely to be like them than not. */
const STRANGE = 0.5
/** A yeast that was never seen lies near one that was, by this share of the spread between them. */
const NEAR = 0.2

/** What is believed of the next batch of a yeast: of its own batches if it has any, of others otherwise. */
export function priorFrom(pooled: Pooled, yeast?: string): Prior {
  const own = pooled.yeasts.find(place => place.yeast === yeast)
  const ownShare = own ? own.batches / (own.batches + STRANGE) : 0
  const rest = 1 - ownShare
  const others = pooled.yeasts.filter(place => place !== own)
  const anyYeast: PriorMember = {
    name: 'any yeast',
    weight: rest * SHARES.anyYeast,
    mean: [...pooled.centre],
    covariance: sum(pooled.between, pooled.within),
  }
  const alike = others.map(place => ({
    name: `like ${place.yeast}`,
    weight: (rest * SHARES.alike) / others.length,
    mean: [...place.mean],
    covariance: sum(sum(place.covariance, pooled.within), pooled.between, NEAR ** 2),
  }))
  const known = own && {
    name: own.yeast,
    weight: ownShare,
    mean: [...own.mean],
    covariance: sum(own.covariance, pooled.within),
  }
  return {
    members: [...(known ? [known] : []), ...alike, anyYeast, { ...FREE, weight: rest * SHARES.free }],
  }
}

function byYeast(batches: readonly FittedBatch[]): ReadonlyMap<string, readonly FittedBatch[]> {
  const yeasts = new Map<string, FittedBatch[]>()
  for (const batch of batches) {
    const own = yeasts.get(batch.yeast)
    if (own) own.push(batch)
    else yeasts.set(batch.yeast, [batch])
  }
  return yeasts
}
