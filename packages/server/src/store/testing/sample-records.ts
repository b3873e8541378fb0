import type { JournalEntry } from '@attemper/core/batch/journal.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { BatchRecord, StoredReading, Stream, VesselRecord } from '../store.ts'

/** Invented records for the tests of stores. */
export const BEER: Stream = { vessel: 'garage fridge', instrument: 'probe', quantity: 'temperature' }
export const FLOAT: Stream = { vessel: 'garage fridge', instrument: 'float', quantity: 'gravity' }
export const OTHER: Stream = { vessel: 'cellar tank', instrument: 'probe', quantity: 'temperature' }

export function reading(
  stream: Stream,
  at_ms: number,
  value: number,
  status: StoredReading['status'] = 'good',
) {
  return { ...stream, at_ms, value, status }
}

export const VESSEL: VesselRecord = {
  name: 'garage fridge',
  text: 'name: garage fridge\n# heats with a belt, 25 °C at most\n',
  doors: '{}',
  changed_ms: 1_790_000_000_000,
}

export const BATCH: BatchRecord = {
  id: 'amber-ale-1',
  vessel: 'garage fridge',
  name: 'Amber ale',
  planText: 'plan: one',
  vesselText: VESSEL.text,
  beerText: 'beer: amber',
  localOffset_s: 7200,
  started_ms: 1_790_000_000_000,
  ended_ms: null,
}

export function note(at_ms: number, text: string): JournalEntry {
  return { at_ms, kind: 'note', text, by: 'brewer' }
}

const OFF = {
  on: false,
  since_s: null,
  ranUntil_s: null,
  leaseUntil_s: null,
  withheld: null,
  watchFrom_s: null,
  watchFrom_C: null,
  hasResponded: false,
  lockedOut: false,
}

/** A state that can be told from others by its stage and time. */
export function engineState(stage: number, now_s: number): EngineState {
  return {
    batch: 'running',
    startedAt_s: 1_790_000_000,
    now_s,
    stage,
    stageSince_s: now_s,
    reachedAt_s: null,
    from_C: 18.25,
    target_C: 19.5,
    finalGravity: 1.0125,
    channels: [],
    inCharge: [0, -1],
    dwells: [{ trueSince_s: null }],
    unknownSince_s: null,
    fallback: false,
    lateAt_s: null,
    tasksGiven: ['dry hops'],
    tasksDone: [],
    questions: [],
    nextQuestion: 1,
    declined: [],
    heater: OFF,
    cooler: { ...OFF, on: true, since_s: now_s },
    thermostat: null,
    controller: {
      wantHeat: false,
      wantCool: true,
      integral: 0.125,
      stage,
      lastMeasured_C: 19.75,
      windowFrom_s: null,
      heatUntil_s: 0,
      coolUntil_s: 0,
      output: 0,
      airTarget_C: null,
    },
    limitBroken: null,
    disagreeing: [],
    fence: 7,
  }
}
