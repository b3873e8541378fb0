import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { hash32, streamKey } from './hash-noise.ts'

/** A source of independent draws for one run. */
export interface Draw {
  /** Uniform in [0, 1). */
  uniform(): number
  /** Standard normal, cut off at ±3: a drawn plant is unusual, never absurd. */
  normal(): number
  /** Exponential with mean 1. */
  exponential(): number
  /** A 32-bit integer, for streams of hash noise. */
  seed(): number
}

/** The seed of run `run` of a rehearsal: depends on nothing else, so run n is the same on 1 or 16 workers. */
export function runSeed(seed: number, run: number): number {
  return hash32(streamKey(seed, 0x72756e), run) | 0
}

export function drawFor(seed: number, run: number): Draw {
  const generator = xoroshiro128plus(runSeed(seed, run))
  const uniform = () => uniformFloat64(generator)
  function normal(): number {
    for (;;) {
      // Marsaglia's polar method.
      const a = 2 * uniform() - 1
      const b = 2 * uniform() - 1
      const s = a * a + b * b
      if (s > 0 && s < 1) {
        const z = a * Math.sqrt((-2 * Math.log(s)) / s)
        if (Math.abs(z) <= 3) return z
      }
    }
  }
  return {
    uniform,
    normal,
    exponential: () => -Math.log(1 - uniform()),
    seed: () => Math.floor(uniform() * 4294967296) | 0,
  }
}
