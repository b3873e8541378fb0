import type { SwitchCommand } from '../../engine/contract.ts'
import { uniformAt } from '../../random/hash-noise.ts'

/**
 * One switched appliance as it obeys: commands are leases, so it falls back to off by itself when one lapses; it refuses
 * a command whose fence is older than one that it has seen; some commands get lost on the way.
 */
export class Relay {
  /** What the latest command that arrived says. */
  commanded = false
  leaseUntil_s = Number.POSITIVE_INFINITY
  #fence = Number.NEGATIVE_INFINITY

  /** What it really does, faults included; `starts` and `onTime_s` count that. */
  on = false
  starts = 0
  /** The shortest time that it was off between two runs, s. */
  shortestRest_s = Number.POSITIVE_INFINITY
  #onTime_s = 0
  #since_s = Number.NEGATIVE_INFINITY

  readonly #lost: number
  readonly #key: number

  constructor(lostCommands: number, key: number) {
    this.#lost = lostCommands
    this.#key = key
  }

  receive(command: SwitchCommand, now_s: number): void {
    if (command.fence < this.#fence) return
    if (this.#lost > 0 && uniformAt(this.#key, command.fence) < this.#lost) return
    this.#fence = command.fence
    this.commanded = command.on && command.until_s > now_s
    this.leaseUntil_s = this.commanded ? Math.ceil(command.until_s) : Number.POSITIVE_INFINITY
  }

  /** Off until the next command: the lease has lapsed, or the power is gone. */
  release(): void {
    this.commanded = false
    this.leaseUntil_s = Number.POSITIVE_INFINITY
  }

  /** Sets what it really does from now on; true when that is a change. */
  switch(on: boolean, now_s: number): boolean {
    if (on === this.on) return false
    if (on) {
      this.starts++
      this.shortestRest_s = Math.min(this.shortestRest_s, now_s - this.#since_s)
    } else {
      this.#onTime_s += now_s - this.#since_s
    }
    this.on = on
    this.#since_s = now_s
    return true
  }

  onTime_s(now_s: number): number {
    return this.#onTime_s + (this.on ? now_s - this.#since_s : 0)
  }
}
