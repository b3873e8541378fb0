import type { Entry } from '@attemper/server/http/published.ts'
import * as api from '../../api/cellar-api.ts'
import { Trouble } from '../../api/request.ts'

const AT_ONCE = 1000

/** All that has happened to a batch, earliest first; what is new is fetched when it is asked for. */
export class Journal {
  entries = $state.raw<readonly Entry[]>([])
  readonly #batch: string
  #busy = false
  #again = false

  constructor(batch: string) {
    this.#batch = batch
  }

  /** To be called whenever something may have happened. */
  async catchUp(): Promise<void> {
    if (this.#busy) {
      this.#again = true
      return
    }
    this.#busy = true
    try {
      do {
        this.#again = false
        await this.#fetch()
      } while (this.#again)
    } catch (error) {
      if (!(error instanceof Trouble)) throw error
    } finally {
      this.#busy = false
    }
  }

  async #fetch(): Promise<void> {
    for (;;) {
      const found = await api.log(this.#batch, this.entries.at(-1)?.number ?? 0, AT_ONCE)
      if (found.length > 0) this.entries = [...this.entries, ...found]
      if (found.length < AT_ONCE) return
    }
  }
}
