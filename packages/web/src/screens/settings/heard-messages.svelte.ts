import type { FoundProbe, HeardMessage } from '@attemper/server/http/published.ts'
import * as api from '../../api/cellar-api.ts'
import { Trouble } from '../../api/request.ts'

const EACH_ms = 1000
const MOST = 40

/** What comes to the doors, asked for each second as long as somebody listens; and the probes of the cellar's own machine. */
export class HeardAtDoors {
  /** The latest first. */
  messages = $state.raw<readonly HeardMessage[]>([])
  probes = $state.raw<readonly FoundProbe[]>([])
  /** Why nothing is heard; null: the doors are listened to. */
  trouble = $state<string | null>(null)
  #isOver = false
  #last = 0

  /** Returns how to end it. */
  listen(): () => void {
    void this.#again(() => this.#askMessages())
    void this.#again(async () => {
      this.probes = await api.foundProbes()
    })
    return () => {
      this.#isOver = true
    }
  }

  async #askMessages(): Promise<void> {
    const heard = await api.heard(this.#last)
    if (heard.length === 0) return
    // The cellar counts anew after it was started again.
    this.#last = heard.at(-1)!.number
    this.messages = [...heard.toReversed(), ...this.messages].slice(0, MOST)
  }

  async #again(ask: () => Promise<void>): Promise<void> {
    while (!this.#isOver) {
      try {
        await ask()
        this.trouble = null
      } catch (error) {
        if (!(error instanceof Trouble)) throw error
        this.trouble = error.sentence
      }
      await new Promise(resolve => setTimeout(resolve, EACH_ms))
    }
  }
}
