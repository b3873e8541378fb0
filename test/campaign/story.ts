import { INVARIANTS, type Invariant } from './invariants.ts'

export interface Broken {
  readonly seed: number
  readonly invariant: Invariant
  /** True seconds since the beginning of the story. */
  readonly at_s: number
  readonly story: string
}

/** What has happened so far: faults by kind, moments judged by invariant, and what was found broken. */
export class Story {
  readonly seed: number
  readonly faults = new Map<string, number>()
  readonly judged = new Map<Invariant, number>(INVARIANTS.map(({ name }) => [name, 0]))
  readonly broken: Broken[] = []
  readonly #begin_ms: number
  readonly #now_ms: () => number
  readonly #onLine: ((line: string) => void) | null
  /** The latest lines, which are told with whatever breaks. */
  #latest: string[] = []
  #lines = 0
  #hash = 0

  constructor(seed: number, begin_ms: number, now_ms: () => number, onLine: ((line: string) => void) | null) {
    this.seed = seed
    this.#begin_ms = begin_ms
    this.#now_ms = now_ms
    this.#onLine = onLine
  }

  get at_s(): number {
    return Math.round((this.#now_ms() - this.#begin_ms) / 1000)
  }

  /** Two runs of one seed that end with the same mark have told the same story. */
  get mark(): string {
    return `${this.#lines}:${this.#hash >>> 0}`
  }

  tell(text: string): void {
    const line = `${sayTime(this.at_s)} ${text}`
    this.#lines++
    for (let n = 0; n < line.length; n++) this.#hash = (Math.imul(this.#hash, 31) + line.charCodeAt(n)) | 0
    this.#onLine?.(line)
    this.#latest.push(line)
    if (this.#latest.length > 60) this.#latest = this.#latest.slice(-30)
  }

  fault(kind: string, text: string): void {
    this.faults.set(kind, (this.faults.get(kind) ?? 0) + 1)
    this.tell(`fault, ${kind}: ${text}`)
  }

  /** Counts without a line: what happens to single messages is too much to tell. */
  count(kind: string): void {
    this.faults.set(kind, (this.faults.get(kind) ?? 0) + 1)
  }

  /** One moment at which an invariant could have been broken; `complaint`: null: it was kept. */
  judge(invariant: Invariant, complaint: string | null): void {
    this.judged.set(invariant, this.judged.get(invariant)! + 1)
    if (complaint === null) return
    // One cause breaks the same again and again: the first is enough to find it.
    const isKnown = this.broken.some(each => each.invariant === invariant)
    if (isKnown) return
    this.tell(`BROKEN, ${invariant}: ${complaint}`)
    const story = this.#latest.slice(-25).join('\n')
    this.broken.push({ seed: this.seed, invariant, at_s: this.at_s, story })
  }
}

function sayTime(at_s: number): string {
  const days = Math.floor(at_s / 86_400)
  const rest = at_s % 86_400
  const two = (value: number) => String(Math.floor(value)).padStart(2, '0')
  return `day ${days} ${two(rest / 3600)}:${two((rest % 3600) / 60)}:${two(rest % 60)}`
}
