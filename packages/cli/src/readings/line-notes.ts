/** Collects the lines that share a fault, so that a long record does not flood the terminal. */
export class LineNotes {
  readonly #sentences: string[] = []
  readonly #lines = new Map<string, Set<number>>()

  say(sentence: string): void {
    this.#sentences.push(sentence)
  }

  add(fault: string, line: number): void {
    const lines = this.#lines.get(fault) ?? new Set()
    this.#lines.set(fault, lines.add(line))
  }

  list(): string[] {
    const faults = [...this.#lines].map(([fault, lines]) => {
      const all = [...lines].sort((one, other) => one - other)
      const shown = all.slice(0, SHOWN_LINES).join(', ')
      const more = all.length > SHOWN_LINES ? ` and ${all.length - SHOWN_LINES} more` : ''
      return all.length === 1 ? `Line ${shown} ${fault}.` : `Each of lines ${shown}${more} ${fault}.`
    })
    return [...this.#sentences, ...faults]
  }
}

const SHOWN_LINES = 8
