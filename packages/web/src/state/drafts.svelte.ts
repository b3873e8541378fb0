/** Plans with their vessels and beers that this browser keeps while they are being written, by name. */
import { freeName } from './free-name.ts'

export interface DraftTexts {
  readonly plan: string
  readonly vessel: string
  readonly beer: string
}

export interface Draft {
  readonly name: string
  readonly texts: DraftTexts
  readonly changed_ms: number
}

const KEPT_AS = 'drafts'

class Drafts {
  /** The one that was changed last comes first. */
  all = $state.raw<readonly Draft[]>(kept())
  /** Whether this browser refuses to keep anything. */
  refused = $state(false)

  get(name: string): Draft | null {
    return this.all.find(draft => draft.name === name) ?? null
  }

  /** Keeps texts under a name of their own, which is made from the wish; returns it. */
  begin(wish: string, texts: DraftTexts): string {
    const name = freeName(
      wish,
      this.all.map(draft => draft.name),
    )
    this.keep(name, texts)
    return name
  }

  keep(name: string, texts: DraftTexts): void {
    // Another window may have kept something since.
    const others = kept().filter(draft => draft.name !== name)
    this.#store([{ name, texts, changed_ms: Date.now() }, ...others])
  }

  remove(name: string): void {
    this.#store(kept().filter(draft => draft.name !== name))
  }

  #store(all: readonly Draft[]): void {
    this.all = all
    try {
      localStorage.setItem(KEPT_AS, JSON.stringify(all))
      this.refused = false
    } catch {
      this.refused = true
    }
  }
}

export const drafts = new Drafts()

function kept(): readonly Draft[] {
  try {
    return JSON.parse(localStorage.getItem(KEPT_AS) ?? '[]') as readonly Draft[]
  } catch {
    return []
  }
}
