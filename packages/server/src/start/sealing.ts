import type { Store } from '../store/store.ts'

const EVERY_MS = 60_000
const LEAST_MS = 1_000

/** Packs the readings of past hours from time to time, a few at once, so that control never waits for it. */
export function keepSealing(
  store: Store,
  clock: { now_ms(): number; readonly speed: number },
  onFault: (fault: unknown) => void,
): () => void {
  let timer: NodeJS.Timeout
  const again = (wait_ms: number) => {
    timer = setTimeout(() => {
      let isMore = false
      try {
        isMore = store.seal(clock.now_ms())
      } catch (fault) {
        onFault(fault)
      }
      again(isMore ? 20 : Math.max(LEAST_MS, EVERY_MS / clock.speed))
    }, wait_ms)
    timer.unref()
  }
  again(LEAST_MS)
  return () => clearTimeout(timer)
}
