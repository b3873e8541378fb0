import { BatchKeeper, type Impulse } from '@attemper/server/live/batch-keeper.ts'

/** Looks over the shoulder of whoever keeps a batch: told after each call of the engine. Returns how to stop it. */
export function observeKeepers(onCall: (keeper: BatchKeeper, impulse: Impulse) => void): () => void {
  const { call } = BatchKeeper.prototype
  BatchKeeper.prototype.call = function observed(this: BatchKeeper, impulse: Impulse = {}) {
    const answer = call.call(this, impulse)
    onCall(this, impulse)
    return answer
  }
  return () => {
    BatchKeeper.prototype.call = call
  }
}
