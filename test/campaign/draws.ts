import { drawFor } from '@attemper/core/random/draw.ts'

/** Everything that chance decides in one story. Each part of the story has a stream of its own. */
export class Draws {
  readonly #draw

  constructor(seed: number, stream: number) {
    this.#draw = drawFor(seed, stream)
  }

  uniform(): number {
    return this.#draw.uniform()
  }

  normal(): number {
    return this.#draw.normal()
  }

  between(least: number, most: number): number {
    return least + (most - least) * this.#draw.uniform()
  }

  /** From `least` to `most`, both included. */
  whole(least: number, most: number): number {
    return Math.floor(this.between(least, most + 1))
  }

  chance(share: number): boolean {
    return this.#draw.uniform() < share
  }

  /** A wait of which many are short and a few are very long. */
  wait(mean: number): number {
    return mean * this.#draw.exponential()
  }

  pick<T>(of: readonly T[]): T {
    return of[this.whole(0, of.length - 1)]!
  }

  /** A number between two of the same sign, as likely in each power of ten. */
  scale(least: number, most: number): number {
    return least * (most / least) ** this.#draw.uniform()
  }
}
