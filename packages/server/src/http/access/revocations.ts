/**
 * Tells the doors that somebody may do less than a moment ago: a token or a person was removed, a password or role changed, a
 * session ended. Each looks at its open connections then, and ends those that would not be let in any more.
 */
export class Revocations {
  readonly #listeners = new Set<() => void>()

  happened(): void {
    for (const listener of this.#listeners) listener()
  }

  listen(listener: () => void): () => void {
    this.#listeners.add(listener)
    return () => {
      this.#listeners.delete(listener)
    }
  }
}
