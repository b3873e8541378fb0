import { Lease, LONGEST_S } from '../../examples/appliance/lease.ts'
import type { Due, EventQueue } from './event-queue.ts'

export type DeviceKind = 'keeps its lease' | 'plain relay' | 'coil'
export type WhyOff = 'told' | 'lapsed' | 'power' | 'restart'

/** Whom a device switches: contacts in a physical vessel. */
export interface Contacts {
  switch(on: boolean, why: WhyOff): void
}

/** Something that hears commands on a topic. */
export interface Listener {
  /** `kept`: the broker had kept the message. `late_ms`: how long it was on its way. */
  hear(text: string, kept: boolean, late_ms: number): void
}

/**
 * An appliance that keeps its duties by itself (examples/appliance/lease.ts): off at the start, off when its lease lapses,
 * deaf to lower fencing numbers.
 */
export class LeasedDevice implements Listener {
  readonly kind = 'keeps its lease'
  on = false
  /** When it last heard a command that it obeyed, true ms. */
  heard_ms = Number.NEGATIVE_INFINITY
  /** How long the latest command that it obeyed was on its way. */
  late_ms = 0
  hasPower = true
  /** Why it did not obey the latest command; null: it did. */
  refusal: string | null = null
  /** What its own clock is ahead of the truth; NaN: it has never been set. */
  ahead_s = 0
  readonly #queue: EventQueue
  readonly #contacts: Contacts
  #lease = new Lease()
  #lapse: Due | null = null

  constructor(queue: EventQueue, contacts: Contacts) {
    this.#queue = queue
    this.#contacts = contacts
  }

  hear(text: string, kept: boolean, late_ms: number): void {
    if (!this.hasPower) return
    const steady_s = this.#queue.now_ms / 1000
    const now_s = Number.isNaN(this.ahead_s) ? steady_s % 1000 : steady_s + this.ahead_s
    this.refusal = this.#lease.hear(text, kept, steady_s, now_s)
    if (this.refusal === null) {
      this.heard_ms = this.#queue.now_ms
      this.late_ms = late_ms
    }
    this.#follow('told')
  }

  /** Starts anew, as after a cut of its power: it is off, and has forgotten which numbers it had seen. */
  restart(): void {
    this.#lease = new Lease()
    this.refusal = null
    this.#follow('restart')
  }

  power(hasPower: boolean): void {
    this.hasPower = hasPower
    if (!hasPower) this.#lease = new Lease()
    this.#follow('power')
  }

  /** A mad sender, or a cellar whose clock was years ahead, once told it a number that no sane one reaches. */
  rememberFence(fence: number): void {
    const at_s = Math.floor(this.#queue.now_ms / 1000)
    this.hear(JSON.stringify({ on: false, until: at_s, fence, at: at_s }), false, 0)
  }

  #follow(why: WhyOff): void {
    if (this.#lapse !== null) this.#lapse.call = null
    this.#lapse = null
    const on = this.hasPower && this.#lease.mayBeOn(this.#queue.now_ms / 1000)
    if (on) this.#lapse = this.#queue.after(1000 * this.#left_s(), () => this.#follow('lapsed'))
    if (on === this.on) return
    this.on = on
    this.#contacts.switch(on, why)
  }

  /** When a look once a second would find the lease over; by halving, as its answer changes once within the longest lease. */
  #left_s(): number {
    const now_s = this.#queue.now_ms / 1000
    let within_s = 0
    let beyond_s = LONGEST_S + 1
    while (beyond_s - within_s > 1) {
      const middle_s = Math.floor((within_s + beyond_s) / 2)
      if (this.#lease.mayBeOn(now_s + middle_s)) within_s = middle_s
      else beyond_s = middle_s
    }
    return beyond_s
  }
}

/** A plug that does as it was told last, for ever. */
export class PlainDevice implements Listener {
  readonly kind = 'plain relay'
  on = false
  late_ms = 0
  hasPower = true
  #told = false
  readonly #contacts: Contacts

  constructor(contacts: Contacts) {
    this.#contacts = contacts
  }

  hear(text: string, _kept: boolean, late_ms: number): void {
    if (!this.hasPower) return
    this.late_ms = late_ms
    const { on } = JSON.parse(text) as { on?: unknown }
    this.#told = on === true
    this.#follow('told')
  }

  restart(): void {
    this.#told = false
    this.#follow('restart')
  }

  power(hasPower: boolean): void {
    this.hasPower = hasPower
    if (!hasPower) this.#told = false
    this.#follow('power')
  }

  #follow(why: WhyOff): void {
    const on = this.hasPower && this.#told
    if (on === this.on) return
    this.on = on
    this.#contacts.switch(on, why)
  }
}

/** A coil that the cellar itself keeps the lease of (doors/appliance/leased-switch.ts): on a wire, it stays as it was set. */
export class Coil {
  readonly kind = 'coil'
  on = false
  hasPower = true
  isCutOff = false
  late_ms = 0
  readonly #contacts: Contacts

  constructor(contacts: Contacts) {
    this.#contacts = contacts
  }

  set(on: boolean, why: WhyOff = 'told'): void {
    if (this.isCutOff || !this.hasPower) throw new Error('no answer')
    this.#follow(on, why)
  }

  restart(): void {
    this.#follow(false, 'restart')
  }

  power(hasPower: boolean): void {
    this.hasPower = hasPower
    this.#follow(false, 'power')
  }

  #follow(on: boolean, why: WhyOff): void {
    if (on === this.on) return
    this.on = on
    this.#contacts.switch(on, why)
  }
}

export type Device = LeasedDevice | PlainDevice | Coil
