/**
 * A worker that makes the picture of a rehearsal from its runs, so that nobody who types has to wait for it. It is told
 * each run once, and keeps them until a new rehearsal begins.
 */
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { reduceRuns } from '@attemper/core/rehearsal/reduce.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import type { ReduceMessage, ReduceReply } from './worker-hand.ts'

let setup: Setup | null = null
let records: RunRecord[] = []

addEventListener('message', ({ data }: MessageEvent<ReduceMessage>) => {
  if (data.setup !== undefined) {
    setup = data.setup
    records = []
  }
  records.push(...data.records)
  postMessage(replyTo(data))
})

function replyTo({ ticket }: ReduceMessage): ReduceReply {
  try {
    return { ticket, result: reduceRuns(setup!, records, []) }
  } catch (error) {
    return { ticket, failure: error instanceof Error ? error.message : String(error) }
  }
}
