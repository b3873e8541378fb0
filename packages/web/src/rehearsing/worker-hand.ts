/** Somebody who works elsewhere: takes a message at a time and replies to it, in the order of the messages. */
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { RehearsalResult } from '@attemper/core/rehearsal/result.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { Answer, Job } from './job.ts'

/** `ticket`: comes back with the reply, so that a reply to what nobody waits for any more can be told. */
export interface JobMessage {
  readonly ticket: number
  /** Only when it is another than before. */
  readonly setup?: Setup
  readonly job: Job
}

export type JobReply = { readonly ticket: number } & (
  | { readonly answer: Answer }
  | { readonly failure: string }
)

export interface ReduceMessage {
  readonly ticket: number
  /** Only when a new rehearsal begins: what was told before is forgotten. */
  readonly setup?: Setup
  /** Runs that it has not been told of yet. */
  readonly records: readonly RunRecord[]
}

export type ReduceReply = { readonly ticket: number } & (
  | { readonly result: RehearsalResult }
  | { readonly failure: string }
)

export interface Hand<Message, Reply> {
  send(message: Message): void
  /** Replaces whoever listened before. */
  listen(take: (reply: Reply) => void): void
}

export function simulatingHand(): Hand<JobMessage, JobReply> {
  return handOf(new Worker(new URL('./rehearsal.worker.ts', import.meta.url), { type: 'module' }))
}

export function reducingHand(): Hand<ReduceMessage, ReduceReply> {
  return handOf(new Worker(new URL('./reduce.worker.ts', import.meta.url), { type: 'module' }))
}

function handOf<Message extends { readonly ticket: number }, Reply>(worker: Worker): Hand<Message, Reply> {
  let last = 0
  let take: (reply: Reply) => void = () => undefined
  worker.addEventListener('message', ({ data }: MessageEvent<Reply>) => take(data))
  // A worker that can not even be loaded has nobody else to say so.
  worker.addEventListener('error', event => {
    const failure = event.message || 'the workers of this page can not be loaded'
    take({ ticket: last, failure } as Reply)
  })
  return {
    send(message) {
      last = message.ticket
      worker.postMessage(message)
    },
    listen(next) {
      take = next
    },
  }
}
