/** Shortest and longest time that an item waits for others. */
const LEAST_WAIT_ms = 1
const MOST_WAIT_ms = 20

/**
 * Lets a disk write once for many callers: what arrives within a short while is handed to `write` together, and every
 * caller gets its own part of the answer once that has returned. When `write` throws, all of that group are told.
 *
 * The while is half as long as the last write took: a quick disk answers soon, and while a slow one (a memory card) is written
 * to again and again, a third of the time is left for control.
 */
export class GroupCommit<Item, Answer> {
  readonly #write: (group: readonly Item[]) => readonly Answer[]
  readonly #most: number
  #group: Item[] = []
  #waiting: PromiseWithResolvers<Answer>[] = []
  #size = 0
  #timer: NodeJS.Timeout | null = null
  #took_ms = 0

  /** @param most A group of this size is written without waiting any longer. */
  constructor(write: (group: readonly Item[]) => readonly Answer[], most: number) {
    this.#write = write
    this.#most = most
  }

  /** @param size How much the item counts towards the largest group. */
  add(item: Item, size: number): Promise<Answer> {
    const waiting = Promise.withResolvers<Answer>()
    this.#group.push(item)
    this.#waiting.push(waiting)
    this.#size += size
    if (this.#size >= this.#most) this.flush()
    // What came in while something else was done is read before the immediate call, and belongs to this group.
    else this.#timer ??= setTimeout(() => setImmediate(() => this.flush()), this.#wait_ms())
    return waiting.promise
  }

  /** Writes what waits, now. */
  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer)
    this.#timer = null
    const group = this.#group
    const waiting = this.#waiting
    if (group.length === 0) return
    this.#group = []
    this.#waiting = []
    this.#size = 0
    const began_ms = performance.now()
    try {
      const answers = this.#write(group)
      this.#took_ms = performance.now() - began_ms
      waiting.forEach(({ resolve, reject }, i) => {
        const answer = answers[i]
        if (answer === undefined) reject(new Error('The group was written without an answer for each item.'))
        else resolve(answer)
      })
    } catch (error) {
      for (const { reject } of waiting) reject(error)
    }
  }

  #wait_ms(): number {
    return Math.min(MOST_WAIT_ms, Math.max(LEAST_WAIT_ms, this.#took_ms / 2))
  }
}
