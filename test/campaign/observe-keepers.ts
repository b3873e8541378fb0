import { BatchKeeper, type Impulse } from '@attemper/server/live/batch-keeper.ts'

type OnCall = (keeper: BatchKeeper, impulse: Impulse) => void

/** Looks over the shoulder of whoever keeps a batch. */
export class KeeperWatch {
  readonly #onCall: OnCall
  readonly #given = BatchKeeper.prototype.call
  #now: { readonly keeper: BatchKeeper; readonly impulse: Impulse } | null = null

  /** `onCall`: told after each call of the engine. */
  constructor(onCall: OnCall) {
    this.#onCall = onCall
    const given = this.#given
    const begin = (keeper: BatchKeeper, impulse: Impulse) => {
      this.#now = { keeper, impulse }
    }
    const end = () => this.look()
    BatchKeeper.prototype.call = function observed(this: BatchKeeper, impulse: Impulse = {}) {
      begin(this, impulse)
      const answer = given.call(this, impulse)
      end()
      return answer
    }
  }

  /** Tells of the present call already now: its commands go out before it is over. */
  look(): void {
    const now = this.#now
    this.#now = null
    if (now !== null) this.#onCall(now.keeper, now.impulse)
  }

  stop(): void {
    BatchKeeper.prototype.call = this.#given
  }
}
