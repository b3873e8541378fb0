/** A worker that simulates: keeps the setup that it was given last, and does one job for each message. */
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { doJob } from './job.ts'
import type { JobMessage, JobReply } from './worker-hand.ts'

let setup: Setup | null = null

addEventListener('message', ({ data }: MessageEvent<JobMessage>) => {
  if (data.setup !== undefined) setup = data.setup
  const reply = replyTo(data)
  const record = 'answer' in reply && 'record' in reply.answer ? reply.answer.record : null
  // Traces are handed over, not copied.
  const given = record === null ? [] : Object.values(record.trace).map(column => column.buffer as ArrayBuffer)
  postMessage(reply, { transfer: given })
})

function replyTo({ ticket, job }: JobMessage): JobReply {
  try {
    return { ticket, answer: doJob(setup!, job) }
  } catch (error) {
    return { ticket, failure: error instanceof Error ? error.message : String(error) }
  }
}
