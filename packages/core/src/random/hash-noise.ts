/**
 * Random numbers without a state: each is a pure function of (seed, stream, k), so that readings that a simulator jumps
 * over need no draws, a fault can be added without shifting any other draw, and the number of workers does not matter.
 *
 * The mixing is the 32-bit finalizer of MurmurHash3 (public domain), over a Weyl sequence in k that differs by stream.
 */

function mix(h: number): number {
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return h ^ (h >>> 16)
}

/** Number of a stream of random numbers: seed and stream mixed, a 32-bit integer. */
export function streamKey(seed: number, stream: number): number {
  return mix(mix((seed | 0) + 0x1b873593) ^ Math.imul(stream + 1, 0x9e3779b1))
}

/** The k-th 32-bit hash of a stream. */
export function hash32(key: number, k: number): number {
  return mix(key ^ Math.imul(k + 1, 0x9e3779b1))
}

/** Uniform in [0, 1), in steps of 2^-32. */
export function uniformAt(key: number, k: number): number {
  return (hash32(key, k) >>> 0) * 2.3283064365386963e-10
}

/** As `uniformAt`, for a caller that has no stream at hand. */
export function uniform(seed: number, stream: number, k: number): number {
  return uniformAt(streamKey(seed, stream), k)
}

/**
 * Nearly normal, mean 0, standard deviation 1, and never outside ±3: the sum of three uniforms (Irwin-Hall distribution),
 * taken from three times ten bits of one hash. Its excess kurtosis is -0.4.
 */
export function noiseAt(key: number, k: number): number {
  const h = hash32(key, k)
  return ((h & 1023) + ((h >>> 10) & 1023) + (h >>> 22) - 1534.5) * 0.001953125
}
