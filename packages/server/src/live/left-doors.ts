import type { Clock } from './clock.ts'
import type { Timers } from './timers.ts'
import { type OnTrouble, reasonOf } from './trouble.ts'

const AGAIN_AFTER_MS = 60_000

interface LeftDoor {
  close(): Promise<void>
}

/**
 * Doors that could not be left in a safe state when their batch ended: something may be on that nobody watches. It is tried
 * again until it has worked, or until the next batch in the vessel takes its appliances over; then the trouble is over too.
 */
export class LeftDoors {
  readonly #clock: Clock
  readonly #timers: Timers
  readonly #onTrouble: OnTrouble
  /** By vessel: how to call off the next attempt. */
  readonly #left = new Map<string, () => void>()
  #isClosed = false

  constructor(clock: Clock, timers: Timers, onTrouble: OnTrouble) {
    this.#clock = clock
    this.#timers = timers
    this.#onTrouble = onTrouble
  }

  /** Closes a door, again and again if it must be. Resolves after the first attempt. */
  async close(vessel: string, door: LeftDoor): Promise<void> {
    try {
      await door.close()
    } catch (error) {
      this.#onTrouble({ kind: 'doors not closed', vessel, problem: reasonOf(error), batch: null })
      this.#again(vessel, door)
    }
  }

  /** A new batch commands these appliances now. */
  takeOver(vessel: string): void {
    const callOff = this.#left.get(vessel)
    if (callOff === undefined) return
    callOff()
    this.#left.delete(vessel)
    this.#onTrouble({ kind: 'doors closed', vessel, batch: null })
  }

  end(): void {
    this.#isClosed = true
    for (const callOff of this.#left.values()) callOff()
    this.#left.clear()
  }

  #again(vessel: string, door: LeftDoor): void {
    if (this.#isClosed) return
    const due_ms = this.#clock.now_ms() + AGAIN_AFTER_MS
    const callOff = this.#timers.set(due_ms, () => {
      door.close().then(
        () => {
          if (this.#left.get(vessel) === callOff) this.takeOver(vessel)
        },
        () => {
          if (this.#left.get(vessel) === callOff) this.#again(vessel, door)
        },
      )
    })
    this.#left.set(vessel, callOff)
  }
}
