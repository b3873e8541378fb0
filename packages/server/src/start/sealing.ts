import type { Store } from '../store/store.ts'

const EVERY_MS = 60_000
const LEAST_MS = 1_000
/** Between two hours it rests at least this long, and so many times as long as the last one took. */
const REST_MS = 20
const RESTS = 4

/**
 * Packs the readings of past hours from time to time, one after the other. While there is much to pack, as after a night
 * without the cellar, four fifths of the time are left to control, also on a slow machine.
 */
export function keepSealing(
  store: Store,
  clock: { now_ms(): number; readonly speed: number },
  onFault: (fault: unknown) => void,
): () => void {
  let timer: NodeJS.Timeout
  const again = (wait_ms: number) => {
    timer = setTimeout(() => {
      let isMore = false
      const from_ms = performance.now()
      try {
        isMore = store.seal(clock.now_ms())
      } catch (fault) {
        onFault(fault)
      }
      const rest_ms = Math.max(REST_MS, RESTS * (performance.now() - from_ms))
      again(isMore ? rest_ms : Math.max(LEAST_MS, EVERY_MS / clock.speed))
    }, wait_ms)
    timer.unref()
  }
  again(LEAST_MS)
  return () => clearTimeout(timer)
}
