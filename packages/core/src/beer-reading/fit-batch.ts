/** The curve of one whole batch, with nothing known of its yeast: what pooling and comparing start from. */
import { drawEnsemble } from './ensemble.ts'
import { type GravityReading, gather } from './gathered.ts'
import type { InstrumentErrors } from './instrument.ts'
import { type LearnedBatch, printOf } from './learned.ts'
import { momentsOf } from './matrix.ts'
import { posteriorOf } from './posterior.ts'
import { WIDE, YEAST_FROM, YEAST_SIZE } from './prior.ts'
import type { KnownTemperature } from './thermal-time.ts'

export interface WholeBatch {
  readonly name: string
  readonly yeast: string
  readonly original_points: number
  readonly original_sd: number
  readonly instruments: readonly InstrumentErrors[]
  readonly readings: readonly GravityReading[]
  readonly temperatures: readonly KnownTemperature[]
}

export function fitBatch(batch: WholeBatch, members: number, seed: number): LearnedBatch {
  const { original_points, original_sd, instruments, temperatures } = batch
  const posterior = posteriorOf({
    prior: { members: [WIDE] },
    original_points,
    original_sd,
    instruments,
    groups: gather(batch.readings).groups,
    temperatures,
  })
  const { size, points } = drawEnsemble(posterior, members, seed)
  const weights = new Float64Array(members).fill(1 / members)
  const { mean, covariance } = momentsOf(points, weights, size)
  const own = new Float64Array(YEAST_SIZE * YEAST_SIZE)
  for (let i = 0; i < YEAST_SIZE; i++) {
    for (let j = 0; j < YEAST_SIZE; j++) {
      own[i * YEAST_SIZE + j] = covariance[(i + YEAST_FROM) * size + j + YEAST_FROM]!
    }
  }
  return {
    name: batch.name,
    yeast: batch.yeast,
    print: printOf(batch.readings.map(reading => reading.points)),
    mean: [...mean.subarray(YEAST_FROM, YEAST_FROM + YEAST_SIZE)],
    covariance: own,
  }
}
