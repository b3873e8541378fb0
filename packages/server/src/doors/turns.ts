/** Lets one after the other do what only one at a time can do, by the name of what they use. */
export class Turns {
  readonly #last = new Map<string, Promise<unknown>>()

  take<T>(what: string, work: () => Promise<T>): Promise<T> {
    const before = this.#last.get(what) ?? Promise.resolve()
    const mine = before.then(work, work)
    this.#last.set(what, mine)
    const forget = () => {
      if (this.#last.get(what) === mine) this.#last.delete(what)
    }
    mine.then(forget, forget)
    return mine
  }
}
