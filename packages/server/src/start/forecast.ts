import { readCase } from '@attemper/core/batch/batch-case.ts'
import { rehearseFromNow } from '@attemper/core/rehearsal/from-now.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import type { ExpectedTransition, Forecast } from '../http/http-app.ts'
import type { BatchView } from '../live/cellar.ts'

/** A forecast takes some tenths of a second, in which nothing else is done: a calendar that asks often gets the same again. */
const GOOD_FOR_MS = 10 * 60_000

/** When the next transitions are expected: the batch rehearsed from now, with everything as the files say. */
export function forecaster(): Forecast {
  const known = new Map<
    string,
    { readonly key: string; readonly at_ms: number; readonly list: readonly ExpectedTransition[] }
  >()
  return view => {
    const { id, planText } = view.batch
    const key = `${view.stage} ${planText}`
    const kept = known.get(id)
    if (kept?.key === key && view.now_ms - kept.at_ms < GOOD_FOR_MS) return kept.list
    const list = transitionsOf(view)
    known.set(id, { key, at_ms: view.now_ms, list })
    return list
  }
}

function transitionsOf({
  batch: record,
  state,
  now_ms,
  gravity,
  beer_C,
  stage,
}: BatchView): readonly ExpectedTransition[] {
  const { batch } = readCase(record)
  if (batch === null || state.startedAt_s === null) return []
  const { plan, vessel, beer, program } = batch
  const { localOffset_s } = program
  const starts = { ...beer, start: { ...beer.start, local_s: state.startedAt_s + localOffset_s } }
  const setup = prepare(plan, vessel, starts, { seed: 1, localOffset_s })
  const present = { now_s: Math.floor(now_ms / 1000), state, gravity, beer_C }
  let from = stage
  return rehearseFromNow(setup, setup, present).events.flatMap((event): ExpectedTransition[] => {
    const at_ms = event.at_s * 1000
    if (event.kind === 'batch' && event.to === 'complete') return [{ from, to: null, at_ms }]
    if (event.kind !== 'stage') return []
    const transition = { from, to: event.stage, at_ms }
    from = event.stage
    return [transition]
  })
}
