import { isRoutine } from '@attemper/core/batch/log-line.ts'
import { sentenceContext } from '@attemper/core/batch/sentence-context.ts'
import type { RunTrace } from '@attemper/core/rehearsal/result.ts'
import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import type { Setup } from '@attemper/core/rehearsal/setup.ts'
import { runPicture } from '@attemper/core/report/rehearsal-text.ts'
import { sentenceFor } from '@attemper/core/report/sentences/sentence.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { decisionsData } from './decisions.ts'
import { eventLines } from './event-log.ts'

/** One run of a rehearsal again, with its log: as text, and as data. */
export function shownRun(
  setup: Setup,
  run: number,
  options: {
    readonly units: DisplayUnits
    readonly width: number
    readonly heading: (text: string) => string
  },
) {
  const record = simulateRun(setup, run, [], { keepEvents: true })
  const events = record.events ?? []
  const context = sentenceContext(setup.plan, setup.vessel, options.units)
  const start_s = setup.start_s + setup.program.localOffset_s
  const trace = traceOf(setup, run, record.trace)
  return {
    data: {
      plan: setup.plan.name,
      seed: setup.seed,
      run,
      ready_h: record.ready_s === null ? null : record.ready_s / 3600,
      trace,
      decisions: decisionsData(events, event => sentenceFor(event, context), start_s),
    },
    text: (switches: boolean) => {
      const said = switches ? events : events.filter(event => !isRoutine(event))
      const hidden = events.length - said.length
      const outcome =
        record.ready_s === null
          ? `did not come to the end of the plan within ${(record.ended_s / 86_400).toFixed(1)} days`
          : `came to the end of the plan after ${(record.ready_s / 86_400).toFixed(1)} days`
      const more =
        hidden === 0
          ? ''
          : `\n\nThe appliances were switched, set or held back ${hidden} times; --switches shows each.`
      const name = run === 0 ? 'The nominal run' : `Run ${run} of seed ${setup.seed}`
      return `${name} ${outcome}.\n\n${runPicture(trace, setup.plan.side, options)}\n\n${options.heading('Log')}\n${eventLines(said, context, start_s, options.width)}${more}\n`
    },
  }
}

function traceOf(setup: Setup, run: number, trace: ReturnType<typeof simulateRun>['trace']): RunTrace {
  const known = (values: Float32Array) => Array.from(values, value => (Number.isNaN(value) ? null : value))
  return {
    run,
    time_h: Array.from(trace.beer_C, (_, index) => (index * setup.sample_s) / 3600),
    beer_C: Array.from(trace.beer_C),
    gravity: Array.from(trace.gravity),
    target_C: known(trace.target_C),
    heater_share: Array.from(trace.heater),
    cooler_share: Array.from(trace.cooler),
  }
}
