import type { Command } from '@attemper/core/engine/contract.ts'
import type { Clock } from '../../live/clock.ts'
import type { Timers } from '../../live/timers.ts'
import type { ApplianceDoor, Sent } from '../appliance-door.ts'

/** Something that stays as it was switched, and knows nothing of leases: a relay on a wire. */
export interface PlainSwitch {
  /** As it is called in a sentence: "coil 3 of plc.local". */
  readonly called: string
  /** Rejects with the reason when it is not certain that it happened. Never called while a call is under way. */
  set(on: boolean): Promise<void>
  close(): Promise<void>
}

/** Never on for longer than this without a new command, as in the contract of an appliance. */
const LONGEST_MS = 4 * 3600_000
const RETRY_MS = 5000
/** A minute: nobody is there to switch it off later, but a cellar that ends can not wait for ever. */
const TRIES_AT_END = 12

const NOTHING = () => undefined

/**
 * Keeps the duties of an appliance for a switch that can not: off at the start, off when the lease lapses, deaf to lower
 * fencing numbers, off at the end. What should be off is switched off again and again until it has worked.
 *
 * It can do so only while this program runs: if the cellar dies, a plain switch stays as it was.
 */
export function leasedSwitch(device: PlainSwitch, clock: Clock, timers: Timers): ApplianceDoor {
  return new LeasedSwitch(device, clock, timers)
}

class LeasedSwitch implements ApplianceDoor {
  readonly #device: PlainSwitch
  readonly #clock: Clock
  readonly #timers: Timers
  #on = false
  #fence = Number.NEGATIVE_INFINITY
  #closed = false
  #callOffLapse: () => void = NOTHING
  #callOffRetry: () => void = NOTHING
  #work: Promise<unknown> = Promise.resolve()

  constructor(device: PlainSwitch, clock: Clock, timers: Timers) {
    this.#device = device
    this.#clock = clock
    this.#timers = timers
    // It may still be on from a life before this one.
    void this.#apply()
  }

  async send(command: Command): Promise<Sent> {
    const { called } = this.#device
    const { until_s, fence } = command
    if (command.appliance === 'thermostat') {
      return { sent: false, problem: `${called}: a switch can not be set to a target` }
    }
    if (this.#closed) return { sent: false, problem: `${called}: its door is closed` }
    if (fence < this.#fence) {
      return { sent: false, problem: `${called}: the fencing number ${fence} is lower than ${this.#fence}` }
    }
    this.#fence = fence
    const now_ms = this.#clock.now_ms()
    const until_ms = Math.min(until_s * 1000, now_ms + LONGEST_MS)
    this.#on = command.on && until_ms > now_ms
    this.#callOffLapse()
    this.#callOffLapse = this.#on ? this.#timers.set(until_ms, () => this.#switchOff()) : NOTHING
    const problem = await this.#apply()
    return problem === null
      ? { sent: true, problem: null, confirmed: 'answer' }
      : { sent: false, problem: `${called}: ${problem}` }
  }

  mustAsk(): boolean {
    return true
  }

  async close(): Promise<void> {
    this.#closed = true
    this.#callOffLapse()
    this.#on = false
    let problem = await this.#apply()
    for (let tries = 1; problem !== null && tries < TRIES_AT_END; tries++) {
      await new Promise<void>(resolve => this.#timers.set(this.#clock.now_ms() + RETRY_MS, resolve))
      problem = await this.#apply()
    }
    await this.#device.close()
    if (problem === null) return
    throw new Error(
      `${this.#device.called} could not be switched off at the end (${problem}): it may be on. Look at it.`,
    )
  }

  #switchOff(): void {
    this.#on = false
    void this.#apply()
  }

  /** Makes the device do what is wanted by the time its turn has come; says what was in the way. */
  #apply(): Promise<string | null> {
    this.#callOffRetry()
    const mine = this.#work.then(async () => {
      try {
        await this.#device.set(this.#on)
        return null
      } catch (error) {
        this.#callOffRetry()
        if (!this.#on && !this.#closed) {
          this.#callOffRetry = this.#timers.set(this.#clock.now_ms() + RETRY_MS, () => void this.#apply())
        }
        return error instanceof Error ? error.message : String(error)
      }
    })
    this.#work = mine
    return mine
  }
}
