import { Trouble } from '../api/request.ts'

/** What was fetched of the cellar for one part of a screen, and why it could not be. */
export class Fetched<T> {
  /** null: not there yet. */
  value = $state.raw<T | null>(null)
  trouble = $state<string | null>(null)
  readonly #fetch: () => Promise<T>

  constructor(fetch: () => Promise<T>) {
    this.#fetch = fetch
    void this.again()
  }

  /** Fetches it anew; what was there stays until then. */
  async again(): Promise<void> {
    try {
      this.value = await this.#fetch()
      this.trouble = null
    } catch (error) {
      if (!(error instanceof Trouble)) throw error
      this.trouble = error.sentence
    }
  }
}
