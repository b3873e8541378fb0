/** What a brewer would read in the log of a run while it is played: sentences with their moments. */
import { foldTopics, isRoutine, topicOf } from '@attemper/core/batch/log-line.ts'
import { sentenceContext } from '@attemper/core/batch/sentence-context.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { sayElapsed } from './elapsed.ts'

export interface RunLine {
  /** Hours from the start. */
  readonly at_h: number
  readonly moment: string
  readonly sentence: string
}

/** Switchings are left out, and what goes to and fro is counted. None for a run of which no events were kept. */
export function runLog(record: RunRecord, setup: Setup, units: DisplayUnits): readonly RunLine[] {
  const context = sentenceContext(setup.plan, setup.vessel, units)
  const lines = (record.events ?? [])
    .filter(event => !isRoutine(event))
    .map(event => {
      const at_h = (event.at_s - setup.start_s) / 3600
      return {
        at_h,
        moment: sayElapsed(at_h),
        sentence: sentenceFor(event, context),
        topic: topicOf(event),
      }
    })
  return foldTopics(lines).map(({ at_h, moment, sentence }) => ({ at_h, moment, sentence }))
}
