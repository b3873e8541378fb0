import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { Answer, Job } from './job.ts'
import type { Hand, JobMessage, JobReply } from './worker-hand.ts'

export type SimulatingHand = Hand<JobMessage, JobReply>

/** Who is told of what: the answers as they come, in no order; or why it can not go on. */
export interface Waiting {
  readonly take: (answer: Answer) => void
  readonly fail: (why: string) => void
}

interface Errand {
  readonly job: Job
  readonly waiting: Waiting
}

interface Member {
  readonly hand: SimulatingHand
  /** Of the setup that it has. */
  generation: number
  /** What it does now; null: it is free. */
  busy: { readonly ticket: number; readonly generation: number; readonly errand: Errand } | null
}

/**
 * Workers that simulate, all for one setup: the newest. They are never dismissed, because a worker that has run for a
 * second is many times as fast as a fresh one; so one that is in the middle of a run of an older setup finishes it, and
 * what it says then is not listened to. Each has one job at a time: nothing old is ever waited for longer than one run.
 */
export class Crew {
  readonly #members: readonly Member[]
  #generation = 0
  #ticket = 0
  #setup: Setup | null = null
  #queue: Errand[] = []

  constructor(hands: readonly SimulatingHand[]) {
    this.#members = hands.map(hand => ({ hand, generation: 0, busy: null }))
    for (const member of this.#members) member.hand.listen(reply => this.#replied(member, reply))
  }

  get size(): number {
    return this.#members.length
  }

  /** Forgets everything that waits, and whatever is still being done. */
  stop(): void {
    this.#generation += 1
    this.#setup = null
    this.#queue = []
  }

  /** From now on for this setup. */
  begin(setup: Setup): void {
    this.stop()
    this.#setup = setup
  }

  /** Behind whatever waits already; or before it, for somebody who waits for this one job. */
  add(jobs: readonly Job[], waiting: Waiting, where: 'last' | 'first' = 'last'): void {
    const errands = jobs.map(job => ({ job, waiting }))
    if (where === 'last') for (const errand of errands) this.#queue.push(errand)
    else this.#queue = [...errands, ...this.#queue]
    for (const member of this.#members) this.#employ(member)
  }

  #employ(member: Member): void {
    if (member.busy !== null || this.#setup === null) return
    const errand = this.#queue.shift()
    if (errand === undefined) return
    this.#ticket += 1
    const isNew = member.generation !== this.#generation
    member.generation = this.#generation
    member.busy = { ticket: this.#ticket, generation: this.#generation, errand }
    member.hand.send({
      ticket: this.#ticket,
      job: errand.job,
      ...(isNew ? { setup: this.#setup } : {}),
    })
  }

  #replied(member: Member, reply: JobReply): void {
    const { busy } = member
    if (busy === null || busy.ticket !== reply.ticket) return
    member.busy = null
    // First the next job, so that nobody stands idle while the answer is looked at.
    this.#employ(member)
    if (busy.generation !== this.#generation) return
    if ('failure' in reply) busy.errand.waiting.fail(reply.failure)
    else busy.errand.waiting.take(reply.answer)
  }
}

/** One core is left for the page itself; more than four add little. */
export function usualCrewSize(cores: number): number {
  return Math.max(2, Math.min(4, cores - 1))
}
