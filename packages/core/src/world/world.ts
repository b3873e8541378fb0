import type { Command, ReadingInput, Stands } from '../engine/contract.ts'
import { listChannels } from '../vessel/channels.ts'
import { onWholeSeconds } from './faults/fault.ts'
import { Instruments } from './instruments/instruments.ts'
import { thermometerChannels } from './instruments/truth-of-channels.ts'
import { Physics } from './physics.ts'
import type { WorldSetup } from './setup.ts'
import { type Truth, truthOf } from './truth.ts'

/**
 * The world around the engine: a vessel with its beer, its appliances and its instruments, on a simulated clock.
 *
 * A loop that calls `advanceTo(t + 1)` and `readingsAt` at every second is the definition. `seek` jumps to the seconds at
 * which such a loop would have to call the engine, and finds the same values there to the last bit.
 */
export class World {
  now_s: number
  readonly #setup: WorldSetup
  readonly #physics: Physics
  readonly #instruments: Instruments
  /** When the engine was last called: it knows all readings up to then. */
  #handedOver_s = Number.NEGATIVE_INFINITY
  /** On the way: the reports due now have not been looked at. */
  #nowIsOpen = false
  /** The last `seek` ended before its limit. */
  #stopped = false

  constructor(given: WorldSetup) {
    const setup = { ...given, faults: given.faults.map(onWholeSeconds) }
    const channels = listChannels(setup.vessel)
    this.now_s = setup.start_s
    this.#setup = setup
    this.#physics = new Physics(setup, channels, thermometerChannels(channels))
    this.#instruments = new Instruments(setup, channels, this.#physics)
  }

  /** Nobody can call the engine now; commands are not to be given. */
  get controllerDown(): boolean {
    return this.#physics.conditions.controllerDown
  }

  get truth(): Truth {
    return truthOf(this.#setup, this.#physics, this.now_s)
  }

  /** Moves on to a whole second not before `now_s`. */
  advanceTo(t_s: number): void {
    while (this.now_s < t_s) this.#run(t_s, false)
  }

  /** The reports due exactly now. */
  readingsAt(t_s: number): ReadingInput[] {
    return t_s === this.now_s ? this.#instruments.due(t_s) : []
  }

  /**
   * Moves to the first whole second t after now, and not after `limit_s`, at which one of these is true: t >=
   * `stands.decidedUntil_s`; a reading that is due at t does not lie inside its channel's bounds; t is the first second
   * with t >= at_s + silence_s, counted from a channel's latest reading (before its first one: from the start); the
   * controller goes down or comes back. Otherwise to `limit_s`. While the controller is down only its return and the limit
   * count. Leases are the caller's business: it makes their renewal the limit, and calls `renew` if the answer still stands.
   */
  seek(stands: Stands, limit_s: number): number {
    const down = this.controllerDown
    const until_s = down ? limit_s : Math.max(this.now_s + 1, Math.ceil(endOf(stands)))
    const end_s = Math.min(limit_s, until_s)
    if (!down) this.#instruments.watch(stands)
    this.#stopped = false
    while (this.now_s < end_s && !this.#stopped) this.#stopped = this.#run(end_s, !down)
    return this.now_s
  }

  /**
   * After a `seek` with the same `stands`: it only came to its limit, and calling the engine now would change nothing. Then
   * the call may be left out, and the next `seek` goes on from here.
   */
  stillStands(stands: Stands): boolean {
    const { now_s } = this
    const end_s = Math.min(this.#physics.nextEvent_s, this.#instruments.regularUntil_s(), endOf(stands))
    if (this.#stopped || now_s >= end_s) return false
    // The reports due at the limit itself have not been looked at; when it is left, they are looked at again with the rest.
    this.#nowIsOpen = this.#instruments.firstStop(now_s, now_s) > now_s
    return this.#nowIsOpen
  }

  /**
   * The readings before now that were passed since the engine was last called, to be handed over together with those due
   * now: the latest of each channel, and all of those that the engine remembers.
   */
  skipped(): ReadingInput[] {
    return this.#instruments.passedSince(this.#handedOver_s).filter(reading => reading.at_s < this.now_s)
  }

  /** The engine has been called now, and these are its commands. Call it after each call of the engine, commands or not. */
  apply(commands: readonly Command[]): void {
    this.#handedOver_s = this.now_s
    this.#instruments.handedOver()
    this.#physics.receive(commands, this.now_s)
  }

  /** Leases are renewed now while the answer still stands: the engine knows no more readings than before. */
  renew(commands: readonly Command[]): void {
    // What is switched now, because an earlier command got lost, does not show in the reports that are due now.
    this.#instruments.pass(this.now_s)
    this.#nowIsOpen = false
    this.#physics.receive(commands, this.now_s)
  }

  /** One stretch without an event, at most to `end_s`; true: stopped for the engine. */
  #run(end_s: number, watching: boolean): boolean {
    const physics = this.#physics
    const instruments = this.#instruments
    // What is due now has been handed over, or was looked at in the stretch before.
    if (!this.#nowIsOpen) instruments.pass(this.now_s)
    const from_s = this.#nowIsOpen ? this.now_s : this.now_s + 1
    this.#nowIsOpen = false
    const event_s = physics.nextEvent_s
    const to_s = Math.min(event_s, end_s, instruments.regularUntil_s()) - 1
    if (watching) {
      const stop_s = instruments.firstStop(from_s, to_s)
      if (stop_s <= to_s) {
        instruments.pass(stop_s - 1)
        this.now_s = stop_s
        return true
      }
    }
    instruments.pass(to_s)
    this.now_s = to_s + 1
    if (this.now_s === event_s && this.#event()) return true
    this.#nowIsOpen = this.now_s < end_s
    return false
  }

  /** True: the controller went down or came back. */
  #event(): boolean {
    const down = this.controllerDown
    if (this.#physics.nextIsEdge) this.#instruments.settle()
    if (!this.#physics.passEvent()) return false
    this.#instruments.conditionsChanged()
    if (down === this.controllerDown) return false
    // What arrived while it was down is lost to it.
    if (down) this.#handedOver_s = this.now_s - 1
    return true
  }
}

/** Renewing leases is nothing that the world has to stop for. */
function endOf({ until_s, decidedUntil_s }: Stands): number {
  return decidedUntil_s ?? until_s
}
