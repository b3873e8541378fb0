import { type Clock, fastClock, REAL_CLOCK } from '../live/clock.ts'
import type { Store } from '../store/store.ts'

const DOCUMENT = 'clock'

/** It stood at `origin_ms` when the real clock was at `realOrigin_ms`, and runs `speed` times as fast. */
interface Setting {
  readonly origin_ms: number
  readonly realOrigin_ms: number
  readonly speed: number
}

export type FolderClock = Clock & Setting

/** The wished clock does not fit these records; `message` says what would be right. */
export class ClockError extends Error {
  override readonly name = 'ClockError'
}

/**
 * The clock of the records in a folder. One that runs fast goes on, over restarts, as if it had never stopped: the time
 * of the records may not go back. Real and fast time do not mix in one folder.
 */
export function folderClock(store: Store, speed: number, real_ms: number): FolderClock {
  const text = store.getDocument(DOCUMENT)
  const kept = text === null ? null : (JSON.parse(text) as Setting)
  if (kept === null && speed === 1) return { ...REAL_CLOCK, origin_ms: real_ms, realOrigin_ms: real_ms }
  if (kept === null && store.batches().length > 0) {
    throw new ClockError(
      'The batches in this data folder run in real time: --speed needs a data folder of its own.',
    )
  }
  if (kept !== null && speed === 1) {
    throw new ClockError(
      `The batches in this data folder run ${kept.speed} times as fast as real time: go on with --speed ${kept.speed}, or take another data folder.`,
    )
  }
  const before = kept === null ? null : fastClock(kept.origin_ms, kept.realOrigin_ms, kept.speed)
  const setting: Setting = { origin_ms: before?.now_ms() ?? real_ms, realOrigin_ms: real_ms, speed }
  store.putDocument(DOCUMENT, JSON.stringify(setting))
  return { ...setting, ...fastClock(setting.origin_ms, setting.realOrigin_ms, speed) }
}
