import type { Clock } from '../live/clock.ts'
import { type Channel, ChannelProblem } from './channels/channel.ts'
import { mostUrgentFirst, type Outbox, type Parcel } from './outbox.ts'

/** Waiting times between attempts, s of real time; the last one again and again. Common practice, no source. */
const BACKOFF_S = [5, 30, 120, 600, 1800, 3600]
/** The longest of these, or until quiet hours are over. */
const LONGEST_WAIT_S = 86_400
/** Older than this a message would only confuse; what is still so stands in the list of alarms. */
const OLDEST_S = 2 * 86_400
/** One lost packet is no reason to tell somebody that a channel fails. */
const FAILURES_TOLD = 2
/** One recipient who is refused again and again, while others are reached. */
const ATTEMPTS_TOLD = 3

export interface CourierOptions {
  readonly clock: Clock
  readonly timers: { set(at_ms: number, call: () => void): () => void }
  readonly outbox: Outbox
  /** A channel has begun to fail (why), or works again (null). */
  readonly onTrouble: (channel: string, problem: string | null) => void
}

interface Course {
  isBusy: boolean
  failures: number
  pausedUntil_ms: number
}

/**
 * Carries what is due, one errand at a time on each channel, so that a slow channel holds up no other. What the network
 * does takes real time, also in a cellar whose clock runs fast.
 */
export class Courier {
  readonly #options: CourierOptions
  #channels: ReadonlyMap<string, Channel> = new Map()
  readonly #courses = new Map<string, Course>()
  readonly #errands = new Set<Promise<void>>()
  /** Parcels on their way: new settings must not send them a second time. */
  readonly #carried = new Set<number>()
  readonly #ending = new AbortController()
  #cancelTimer: () => void = () => undefined

  constructor(options: CourierOptions) {
    this.#options = options
  }

  setChannels(channels: ReadonlyMap<string, Channel>): void {
    this.#channels = channels
    this.#courses.clear()
    const { outbox, clock } = this.#options
    outbox.change([], ({ channel }) => !channels.has(channel))
    outbox.tryAgain(null, clock.now_ms())
    for (const channel of Object.keys(outbox.troubles))
      if (!channels.has(channel)) this.#trouble(channel, null)
    this.carry()
  }

  /** The channel has just been seen to work. */
  works(channel: string): void {
    const { outbox, clock } = this.#options
    this.#courses.delete(channel)
    outbox.tryAgain(channel, clock.now_ms())
    this.#trouble(channel, null)
    this.carry()
  }

  /** Begins with everything that is due, and comes back by itself for the rest. */
  carry(): void {
    if (this.#ending.signal.aborted) return
    const { clock, timers, outbox } = this.#options
    outbox.dropOlderThan(clock.now_ms() - OLDEST_S * 1000 * clock.speed)
    let next_ms = Number.POSITIVE_INFINITY
    for (const name of this.#channels.keys()) next_ms = Math.min(next_ms, this.#carryBy(name))
    this.#cancelTimer()
    this.#cancelTimer = Number.isFinite(next_ms) ? timers.set(next_ms, () => this.carry()) : () => undefined
  }

  /** Resolves when nothing is on its way any more. */
  async settled(): Promise<void> {
    while (this.#errands.size > 0) await Promise.all(this.#errands)
  }

  /** Breaks off what is on its way: it stays in the outbox. */
  async close(): Promise<void> {
    this.#ending.abort()
    this.#cancelTimer()
    await this.settled()
  }

  /** Sends outside of the outbox; rejects with a ChannelProblem. */
  async sendNow(channel: string, to: string | null, message: Parcel['message'], id: string): Promise<void> {
    const used = this.#channels.get(channel)!
    const note = (isTaken: boolean) => {
      const { outbox, clock } = this.#options
      const isStillSo = this.#channels.get(channel) === used && !this.#ending.signal.aborted
      if (isStillSo) outbox.noteTrial(channel, clock.now_ms(), isTaken)
    }
    try {
      await used.send(to, [message], id, this.#ending.signal)
      note(true)
    } catch (error) {
      note(false)
      throw error
    }
  }

  /** Answers when to look again; Infinity: when the present errand is back, or never. */
  #carryBy(name: string): number {
    const { clock, outbox } = this.#options
    const course = this.#course(name)
    const own = outbox.parcels.filter(({ channel, id }) => channel === name && !this.#carried.has(id))
    if (course.isBusy || own.length === 0) return Number.POSITIVE_INFINITY
    const now_ms = clock.now_ms()
    // Nothing waits for longer; what seems to was made while the clock was ahead.
    const isDue = (due_ms: number) =>
      due_ms <= now_ms || due_ms > now_ms + LONGEST_WAIT_S * 1000 * clock.speed
    const isPaused = !isDue(course.pausedUntil_ms)
    const due = own.filter(({ due_ms }) => isDue(due_ms)).sort(mostUrgentFirst)
    if (isPaused) return course.pausedUntil_ms
    if (due.length === 0) return Math.min(...own.map(({ due_ms }) => due_ms))
    const { to } = due[0]!
    const together = due.filter(parcel => parcel.to === to).slice(0, this.#channels.get(name)!.most)
    course.isBusy = true
    const errand = this.#run(name, course, together).finally(() => this.#errands.delete(errand))
    this.#errands.add(errand)
    return Number.POSITIVE_INFINITY
  }

  async #run(name: string, course: Course, parcels: readonly Parcel[]): Promise<void> {
    const { clock, outbox } = this.#options
    const ids = new Set(parcels.map(({ id }) => id))
    for (const id of ids) this.#carried.add(id)
    const problem = await this.#attempt(name, parcels)
    for (const id of ids) this.#carried.delete(id)
    course.isBusy = false
    if (this.#ending.signal.aborted && problem !== null) return
    const later_ms = (times: number) =>
      clock.now_ms() + BACKOFF_S[Math.min(times, BACKOFF_S.length) - 1]! * 1000 * clock.speed
    // Settings that were changed on the way have made a new course: what the old one met says nothing about it.
    const isStillSo = this.#courses.get(name) === course
    outbox.together(() => {
      if (problem === null) {
        course.failures = 0
        outbox.sent(ids)
      } else {
        course.failures++
        course.pausedUntil_ms = later_ms(course.failures)
        outbox.failed(ids, later_ms)
      }
      if (isStillSo) outbox.noteTrial(name, clock.now_ms(), problem === null)
    })
    if (isStillSo) this.#judge(name, course, problem)
    this.carry()
  }

  async #attempt(name: string, parcels: readonly Parcel[]): Promise<ChannelProblem | null> {
    const [first] = parcels
    const id = `attemper.${first!.made_ms}.${first!.id}.${parcels.at(-1)!.id}.${parcels.length}`
    const messages = parcels.map(({ message }) => message)
    try {
      await this.#channels.get(name)!.send(first!.to, messages, id, this.#ending.signal)
      return null
    } catch (error) {
      return error instanceof ChannelProblem ? error : new ChannelProblem(String(error), '')
    }
  }

  #judge(name: string, course: Course, problem: ChannelProblem | null) {
    const waiting = this.#options.outbox.parcels.filter(({ channel }) => channel === name)
    const isRefused = waiting.some(({ attempts }) => attempts >= ATTEMPTS_TOLD)
    if (problem !== null && (course.failures >= FAILURES_TOLD || isRefused)) {
      const unsent = `Not sent: ${waiting.toSorted(mostUrgentFirst)[0]?.message.subject ?? ''}`
      this.#trouble(name, `${problem.message}. ${problem.cure} ${unsent}`)
    } else if (problem === null && !isRefused) this.#trouble(name, null)
  }

  /** Told when it begins and when it ends, not at each attempt. */
  #trouble(channel: string, problem: string | null) {
    const { outbox, onTrouble } = this.#options
    const before = outbox.troubles[channel] ?? null
    if ((before === null) === (problem === null)) return
    outbox.setTrouble(channel, problem)
    onTrouble(channel, problem)
  }

  #course(name: string): Course {
    const known = this.#courses.get(name)
    if (known !== undefined) return known
    const course: Course = { isBusy: false, failures: 0, pausedUntil_ms: Number.NEGATIVE_INFINITY }
    this.#courses.set(name, course)
    return course
  }
}
