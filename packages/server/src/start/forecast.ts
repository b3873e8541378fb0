import { setImmediate } from 'node:timers/promises'
import { readCase } from '@attemper/core/batch/batch-case.ts'
import { prepareFromNow } from '@attemper/core/rehearsal/from-now.ts'
import type { RecordedTemperature } from '@attemper/core/rehearsal/past-temperature.ts'
import type { RunRecord } from '@attemper/core/rehearsal/record.ts'
import { reduceFromNow } from '@attemper/core/rehearsal/reduce-from-now.ts'
import { simulateFromNow } from '@attemper/core/rehearsal/run-from-now.ts'
import { setupUnderWay } from '@attemper/core/rehearsal/setup-under-way.ts'
import type { ExpectedTransition, Forecast } from '../http/http-app.ts'
import type { BatchView } from '../live/cellar.ts'
import { QuantityHistory } from '../live/quantity-history.ts'
import type { Store } from '../store/store.ts'

/** A calendar that asks often gets the same again. */
const GOOD_FOR_MS = 10 * 60_000
/** Enough for nine chances in ten; the calendar shows a median. */
const RUNS = 30
const SEED = 1
const HOUR_MS = 3_600_000

interface Kept {
  readonly key: string
  readonly at_ms: number
  readonly list: Promise<readonly ExpectedTransition[]>
}

/** When the next transitions are expected: the batch rehearsed from now, many times. */
export function forecaster(store: Pick<Store, 'buckets' | 'journal'>): Forecast {
  const history = new QuantityHistory({
    log: (batch, after, limit) => store.journal(batch, { after, limit }),
    buckets: (...asked) => store.buckets(...asked),
  })
  const known = new Map<string, Kept>()
  return view => {
    const { id, planText } = view.batch
    // What is held is forecast as if it went on now, so holding and resuming begin anew.
    const key = `${view.state.batch} ${view.stage} ${planText}`
    const kept = known.get(id)
    if (kept?.key === key && Math.abs(view.now_ms - kept.at_ms) < GOOD_FOR_MS) return kept.list
    const list = transitionsOf(view, history)
    known.set(id, { key, at_ms: view.now_ms, list })
    return list
  }
}

async function transitionsOf(
  view: BatchView,
  history: QuantityHistory,
): Promise<readonly ExpectedTransition[]> {
  const { batch: record, state, now_ms, gravity, beer_C } = view
  const { batch } = readCase(record)
  if (batch === null || state.startedAt_s === null) return []
  const setup = setupUnderWay(batch, state.startedAt_s)
  const recorded = recordedTemperatures(view, history)
  const present = { now_s: Math.floor(now_ms / 1000), state, gravity, beer_C, recorded }
  const from = prepareFromNow(setup, setup, present, SEED)
  const records: RunRecord[] = []
  for (let run = 0; run <= RUNS; run++) {
    records.push(simulateFromNow(from, run))
    // In between the cellar does what is due: a vessel does not wait for a calendar.
    await setImmediate()
  }
  const at_ms = (hours: number) => now_ms + Math.round(hours * HOUR_MS)
  const { transitions, assumes } = reduceFromNow(from, records)
  return transitions.flatMap(({ from, to, share, hours: { p5, p50, p95 } }) =>
    // What happens in few runs only is no date.
    p50 === null || share <= 0.5
      ? []
      : [
          {
            from,
            to,
            at_ms: at_ms(p50),
            ...(assumes === null ? {} : { assumes }),
            ...(p5 === null || p95 === null ? {} : { earliest_ms: at_ms(p5), latest_ms: at_ms(p95) }),
          },
        ],
  )
}

/** What the beer's temperature was believed to be since the start, hour by hour. */
function recordedTemperatures(
  { batch: record, now_ms }: BatchView,
  history: QuantityHistory,
): readonly RecordedTemperature[] {
  const hours = Math.max(1, Math.ceil((now_ms - record.started_ms) / HOUR_MS))
  return history
    .buckets(record, 'beer', record.started_ms, now_ms, hours)
    .map(({ from_ms, mean }) => ({ at_s: from_ms / 1000, beer_C: mean }))
}
