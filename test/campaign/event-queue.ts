/** Something that is due at a time; calling it off leaves an empty entry behind. */
export interface Due {
  readonly at_ms: number
  readonly number: number
  call: (() => void) | null
}

/**
 * The one list of everything that is still to happen, in the true time of the simulated world. What is due at the same
 * moment happens in the order in which it was put in, so a run is the same each time.
 */
export class EventQueue {
  now_ms: number
  /** A binary heap, the earliest first. */
  readonly #heap: Due[] = []
  #number = 0

  constructor(now_ms: number) {
    this.now_ms = now_ms
  }

  at(at_ms: number, call: () => void): Due {
    const due: Due = { at_ms: Math.max(this.now_ms, at_ms), number: this.#number++, call }
    const heap = this.#heap
    let place = heap.push(due) - 1
    while (place > 0) {
      const above = (place - 1) >> 1
      if (isBefore(heap[above]!, due)) break
      heap[place] = heap[above]!
      place = above
    }
    heap[place] = due
    return due
  }

  after(wait_ms: number, call: () => void): Due {
    return this.at(this.now_ms + wait_ms, call)
  }

  /** Moves on to what is due next, up to `until_ms`, and hands it out; null: nothing is. */
  next(until_ms: number): (() => void) | null {
    for (let first = this.#heap[0]; first !== undefined; first = this.#heap[0]) {
      if (first.at_ms > until_ms) break
      this.#takeFirst()
      if (first.call === null) continue
      this.now_ms = first.at_ms
      return first.call
    }
    this.now_ms = Math.max(this.now_ms, until_ms)
    return null
  }

  #takeFirst(): void {
    const heap = this.#heap
    const last = heap.pop()!
    if (heap.length === 0) return
    let place = 0
    for (let below = 1; below < heap.length; below = 2 * place + 1) {
      if (below + 1 < heap.length && isBefore(heap[below + 1]!, heap[below]!)) below++
      if (isBefore(last, heap[below]!)) break
      heap[place] = heap[below]!
      place = below
    }
    heap[place] = last
  }
}

function isBefore(a: Due, b: Due): boolean {
  return a.at_ms < b.at_ms || (a.at_ms === b.at_ms && a.number < b.number)
}
