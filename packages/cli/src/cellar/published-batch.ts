import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { localTime } from '../decisions.ts'

/** A batch as the commands print it with --json; times on the vessel's own clock. */
export function publishedBatch({ batch, now_ms, state, sentence, ...view }: BatchView) {
  const { stage, beer_C, gravity, measured, target_C, questions, heater, cooler, thermostat } = view
  const { verdict, doubts, ending } = view
  return {
    batch: batch.id,
    name: batch.name,
    vessel: batch.vessel,
    state: state.batch,
    stage,
    sentence,
    time: localOf(now_ms, batch),
    started: localOf(batch.started_ms, batch),
    ended: batch.ended_ms === null ? null : localOf(batch.ended_ms, batch),
    verdict,
    doubts,
    ending,
    beer_C,
    gravity,
    measured,
    target_C,
    questions: questions.map(({ id, about, stage, text, subject }) => ({ id, about, stage, text, subject })),
    heater,
    cooler,
    thermostat,
  }
}

export function localOf(at_ms: number, { localOffset_s }: Pick<BatchRecord, 'localOffset_s'>): string {
  return localTime(Math.floor(at_ms / 1000) + localOffset_s)
}
