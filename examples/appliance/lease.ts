/** What the cellar sends. Times are seconds since 1970-01-01T00:00 UTC. */
export interface Command {
  /** A switch is told `on`, a thermostat its `target` in °C; null: off. */
  readonly order: boolean | number
  readonly until: number
  readonly fence: number
  readonly at: number
}

/** No command lasts longer than this, whatever it says: a slip of the sender must not heat for a year. */
export const LONGEST_S = 4 * 3600

/**
 * All that an appliance has to decide: whether it may be on, or at which target. It is off until it hears a command; a command lapses by itself;
 * a command with a lower fencing number than one that was seen comes from a controller that is no longer in charge.
 */
export class Lease {
  #fence = Number.NEGATIVE_INFINITY
  #lapses_s = Number.NEGATIVE_INFINITY
  #order: boolean | number = false

  /**
   * `steady_s` is a clock that only goes forward and is never set (since the start of the device, say). `now_s` is the time
   * of day, and may be wrong. `kept`: the broker kept it, so that it may be old. Says why it is not obeyed; null: it is.
   */
  hear(text: string, kept: boolean, steady_s: number, now_s: number): string | null {
    const command = readCommand(text)
    if (command === null) return 'it is no command'
    const { order, until, fence, at } = command
    if (fence < this.#fence) return `its fencing number ${fence} is lower than ${this.#fence}`
    this.#fence = fence
    if (order === false) {
      this.#lapses_s = Number.NEGATIVE_INFINITY
      return null
    }
    // A clock that is behind the moment at which the command was sent has not been set yet.
    const clockIsWrong = now_s < at - 60
    if (clockIsWrong && kept) return 'it may be old, and the clock has not been set'
    const left_s = clockIsWrong ? until - at : Math.min(until - at, until - now_s)
    this.#order = order
    this.#lapses_s = steady_s + Math.min(left_s, LONGEST_S)
    return left_s > 0 ? null : 'its time is over'
  }

  /** The highest fencing number that it has obeyed; null: none yet. */
  get fence(): number | null {
    return Number.isFinite(this.#fence) ? this.#fence : null
  }

  mayBeOn(steady_s: number): boolean {
    return steady_s < this.#lapses_s
  }

  /** false: off; true: on; a number: the target of a thermostat, °C. */
  orderAt(steady_s: number): boolean | number {
    return this.mayBeOn(steady_s) ? this.#order : false
  }
}

function readCommand(text: string): Command | null {
  try {
    const { on, target, until, fence, at } = JSON.parse(text) as Record<string, unknown>
    const order = typeof on === 'boolean' ? on : target === null ? false : target
    const isOrder = typeof order === 'boolean' || Number.isFinite(order)
    const isWhole = isOrder && [until, fence, at].every(Number.isFinite)
    return isWhole ? ({ order, until, fence, at } as Command) : null
  } catch {
    return null
  }
}
