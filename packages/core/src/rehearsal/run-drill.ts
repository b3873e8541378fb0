import type { EngineEvent } from '../engine/events.ts'
import { answersAt_s } from './brewer.ts'
import { callsIn, keyOfCall } from './calls.ts'
import type { Drill } from './drills.ts'
import type { Harm, RunRecord } from './record.ts'
import type { DrillResult, RiskCode } from './result.ts'
import { NOMINAL_RUN, simulateRun } from './run.ts'
import type { Setup } from './setup.ts'

const HOUR_S = 3600

/** Harms that fail a drill when the nominal run does not suffer them too, and how they are said. */
const FATAL: Partial<Record<RiskCode, string>> = {
  freezing: 'the beer froze',
  'limit-broken': "the beer left the plan's limits",
  'final-gravity-not-reached': 'the plan ended before the final gravity was reached',
  'chilled-early': 'the beer was chilled while it still fermented',
}

/** A drill with the run that it was judged by; null when it does not apply. */
export interface RecordedDrill {
  readonly result: DrillResult
  readonly record: RunRecord | null
}

/** The verdict alone: see recordDrill. */
export function runDrill(setup: Setup, drill: Drill): DrillResult {
  return recordDrill(setup, drill).result
}

/**
 * One drill: the nominal run with a fault in it, and what the plan and the interlocks made of it. A fault that lasts until
 * somebody mends it is mended when the brewer comes after the first call for them; if nobody is called, it stays.
 */
export function recordDrill(setup: Setup, drill: Drill): RecordedDrill {
  const { faults } = drill
  const head = { drill: drill.name, title: drill.title }
  if (faults.length === 0) {
    return { result: { ...head, ...NOTHING, reason: sentence(drill.unfit) }, record: null }
  }
  const unmended = simulateRun(setup, NOMINAL_RUN, faults, { keepEvents: true })
  const from_s = Math.max(setup.start_s, Math.min(...faults.map(fault => fault.from_s)))
  const call = firstCall(setup, drill, unmended, from_s)
  const mended_s = call && drill.needsMending ? comesAt_s(setup, call) : null
  const record =
    mended_s === null
      ? unmended
      : simulateRun(
          setup,
          NOMINAL_RUN,
          faults.map(fault => ({ ...fault, to_s: mended_s })),
          { keepEvents: true },
        )
  const verdict = judge(setup, drill, record, call, mended_s)
  const result: DrillResult = {
    ...head,
    ...verdict,
    fault_h: (from_s - setup.start_s) / HOUR_S,
    highest_C: record.highest_C,
    lowest_C: record.lowest_C,
    ready_h: record.ready_s === null ? null : record.ready_s / HOUR_S,
  }
  return { result, record }
}

const NOTHING = {
  verdict: 'not applicable',
  fault_h: null,
  moment_h: null,
  highest_C: 0,
  lowest_C: 0,
  ready_h: null,
} as const

/** The first call after the fault for something that the plan does not call for without it. */
function firstCall(setup: Setup, { baseline }: Drill, { events }: RunRecord, from_s: number) {
  return callsIn(setup, events ?? []).find(
    call => call.at_s >= from_s && !baseline.calls.includes(keyOfCall(call)),
  )
}

function comesAt_s(setup: Setup, call: EngineEvent): number {
  const { localOffset_s } = setup.program
  return Math.ceil(answersAt_s(setup.beer.brewer, call.at_s + localOffset_s, null, 0) - localOffset_s)
}

function judge(
  setup: Setup,
  drill: Drill,
  record: RunRecord,
  call: EngineEvent | undefined,
  mended_s: number | null,
): Pick<DrillResult, 'verdict' | 'moment_h' | 'reason'> {
  const hours = (at_s: number) => (at_s - setup.start_s) / HOUR_S
  const helped = call ? `the brewer was called ${CALLS[call.kind] ?? 'by a question'}` : 'nobody was called'
  const fatal = firstFatal(record, drill)
  if (fatal && isBrewersDecision(fatal, call, setup)) {
    return {
      verdict: 'needed the brewer',
      moment_h: hours(call!.at_s),
      reason: sentence(`${helped} in time; after their yes, ${FATAL[fatal.code]}`),
    }
  }
  if (fatal) {
    return {
      verdict: 'failed',
      moment_h: fatal.at_s / HOUR_S,
      reason: sentence(`${FATAL[fatal.code]}; ${helped}`),
    }
  }
  if (record.ready_s === null && drill.baseline.ready_s !== null) {
    return {
      verdict: 'failed',
      moment_h: null,
      reason: sentence(`the plan never came to its end; ${helped}`),
    }
  }
  if (!call) {
    return {
      verdict: 'passed',
      moment_h: null,
      reason: sentence(
        `the plan came to its end by itself, within its limits${drill.needsMending ? '; nobody noticed the fault' : ''}`,
      ),
    }
  }
  const mending = mended_s === null ? '' : ', and mended it'
  const isUnmended = drill.needsMending && mended_s === null
  return {
    verdict: 'needed the brewer',
    moment_h: hours(call.at_s),
    reason: sentence(
      `${helped}${mending}; the limits were kept${isUnmended ? ', with the fault still there' : ''}`,
    ),
  }
}

/** The plan had asked before it did the harm: what then happened was up to the brewer, who said yes in the simulation. */
function isBrewersDecision({ code, at_s }: Harm, call: EngineEvent | undefined, setup: Setup): boolean {
  const isByMovingOn = code === 'chilled-early' || code === 'final-gravity-not-reached'
  return isByMovingOn && call?.kind === 'asked' && call.at_s < setup.start_s + at_s
}

const CALLS: Partial<Record<EngineEvent['kind'], string>> = {
  'no response': 'because an appliance did not do what it should',
  'limit broken': "because the plan's limits were broken",
  stuck: 'because an instrument showed the same value all the time',
  disagree: 'because two instruments contradicted each other',
  'in charge': "because the beer's temperature was unknown",
}

function firstFatal(record: RunRecord, { baseline }: Drill): Harm | undefined {
  const isNew = ({ code }: Harm) =>
    FATAL[code] !== undefined && !baseline.harms.some(harm => harm.code === code)
  return record.harms.filter(isNew).toSorted((a, b) => a.at_s - b.at_s)[0]
}

const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
