/** What a brewer would read in the log of a run while it is played: sentences with their moments. */
import { foldTopics, isRoutine, topicOf } from '@attemper/core/batch/log-line.ts'
import { sentenceContext } from '@attemper/core/batch/sentence-context.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { sayElapsed } from '../../pictures/elapsed.ts'

export interface RunNote {
  /** Hours from the start. */
  readonly at_h: number
  readonly sentence: string
}

export interface RunLine extends RunNote {
  readonly moment: string
}

/**
 * Switchings are left out, and what goes to and fro is counted. Notes are what else is to be said, such as when a fault was
 * put in. Without the events of the run they are all that is said.
 */
export function runLog(
  record: RunRecord,
  setup: Setup,
  units: DisplayUnits,
  notes: readonly RunNote[] = [],
): readonly RunLine[] {
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
  const said = foldTopics(lines).map(({ at_h, moment, sentence }) => ({ at_h, moment, sentence }))
  const noted = notes.map(note => ({ ...note, moment: sayElapsed(note.at_h) }))
  return [...said, ...noted].sort((one, other) => one.at_h - other.at_h)
}
