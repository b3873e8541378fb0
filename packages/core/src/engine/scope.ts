import type { Stands } from './contract.ts'

/**
 * Collects how long an answer stands while it is being worked out: each comparison that was made narrows the interval in
 * which the reading may move without changing the comparison's outcome, each time that was waited for brings `until_s`
 * nearer. What is never asked never narrows anything.
 */
export class Scope {
  until_s = Number.POSITIVE_INFINITY
  /** When a lease is to be renewed. */
  renewal_s = Number.POSITIVE_INFINITY
  readonly lower: number[]
  readonly upper: number[]
  readonly silence_s: number[]

  private constructor(lower: number[], upper: number[], silence_s: number[]) {
    this.lower = lower
    this.upper = upper
    this.silence_s = silence_s
  }

  /** Nothing has been asked yet. */
  static of(channels: number): Scope {
    const lower = new Array<number>(channels)
    const upper = new Array<number>(channels)
    const silence_s = new Array<number>(channels)
    // Written one by one: a scope is made at every call, and for a few channels this is the quickest.
    for (let channel = 0; channel < channels; channel++) {
      lower[channel] = Number.NEGATIVE_INFINITY
      upper[channel] = Number.POSITIVE_INFINITY
      silence_s[channel] = Number.POSITIVE_INFINITY
    }
    return new Scope(lower, upper, silence_s)
  }

  /** All that was asked for an answer that still stands, but for its leases. */
  static holding({ lower, upper, silence_s, until_s, decidedUntil_s }: Stands): Scope {
    const scope = new Scope(lower.slice(), upper.slice(), silence_s.slice())
    scope.until_s = decidedUntil_s ?? until_s
    return scope
  }

  /** The same so far; each of the two may be narrowed further without the other. */
  copy(): Scope {
    const copy = new Scope(this.lower.slice(), this.upper.slice(), this.silence_s.slice())
    copy.until_s = this.until_s
    return copy
  }

  /** Something may change at this time. */
  wake(at_s: number): void {
    if (at_s < this.until_s) this.until_s = at_s
  }

  /** Something may change already in the next second, which is the earliest that there is. */
  lookAgain(): void {
    this.until_s = Number.NEGATIVE_INFINITY
  }

  get looksAgain(): boolean {
    return this.until_s === Number.NEGATIVE_INFINITY
  }

  /** A lease has to be renewed at this time, whatever is decided. */
  renew(at_s: number): void {
    if (at_s < this.renewal_s) this.renewal_s = at_s
  }

  /** Whether the channel's value is at least (not below) the threshold. A null channel (-1) has a value that can not move. */
  atLeast(channel: number, value: number, threshold: number): boolean {
    const yes = value >= threshold
    if (channel >= 0) {
      if (yes) {
        if (threshold > this.lower[channel]!) this.lower[channel] = threshold
      } else if (threshold < this.upper[channel]!) this.upper[channel] = threshold
    }
    return yes
  }

  /** Whether the channel's value is at most (not above) the threshold. */
  atMost(channel: number, value: number, threshold: number): boolean {
    const yes = value <= threshold
    if (channel >= 0) {
      if (yes) {
        if (threshold < this.upper[channel]!) this.upper[channel] = threshold
      } else if (threshold > this.lower[channel]!) this.lower[channel] = threshold
    }
    return yes
  }

  /** The answer stands while the channel's readings stay between the two. */
  between(channel: number, lower: number, upper: number): void {
    if (lower > this.lower[channel]!) this.lower[channel] = lower
    if (upper < this.upper[channel]!) this.upper[channel] = upper
  }

  /** Each reading of this channel matters. */
  everyReading(channel: number): void {
    this.lower[channel] = Number.POSITIVE_INFINITY
    this.upper[channel] = Number.NEGATIVE_INFINITY
  }

  /**
   * The next call is due at `now_s + 1` at the earliest: a second is the smallest step of time, and what was passed
   * already can not be waited for.
   */
  stands(now_s: number, remembers: readonly boolean[]): Stands {
    const decidedUntil_s = Math.max(Math.ceil(this.until_s), now_s + 1)
    const until_s = Math.min(decidedUntil_s, Math.max(Math.ceil(this.renewal_s), now_s + 1))
    const { lower, upper, silence_s } = this
    return { until_s, decidedUntil_s, lower, upper, silence_s, remembers }
  }
}
