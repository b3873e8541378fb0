import type { ApplianceState, EngineState, ThermostatState } from './contract.ts'
import type { Program } from './program.ts'

const OFF: ApplianceState = {
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

const UNSET: ThermostatState = {
  set_C: null,
  why: 'batch not running',
  leaseUntil_s: null,
  watchTowards: null,
  watchFrom_s: null,
  watchFrom_C: null,
  hasResponded: false,
  lockedOut: false,
}

/** The state of a batch that has not been started: nothing is known, nothing is on. */
export function initialState(program: Program): EngineState {
  return {
    batch: 'idle',
    startedAt_s: null,
    restartedAt_s: null,
    now_s: null,
    stage: 0,
    stageSince_s: 0,
    reachedAt_s: null,
    hold: null,
    heldInStage_s: 0,
    heldSinceReached_s: 0,
    from_C: null,
    target_C: null,
    finalGravity: program.finalGravity,
    originalGravity: null,
    channels: program.channels.map(() => ({
      value: null,
      at_s: null,
      trusted: false,
      doubted: false,
      run: 0,
      row: null,
      sure: null,
      recent: [],
      history: [],
    })),
    inCharge: program.quantities.map(() => -1),
    dwells: Array.from({ length: program.dwells }, () => ({ trueSince_s: null })),
    unknownSince_s: null,
    fallback: false,
    lateAt_s: null,
    tasksGiven: [],
    tasksDone: [],
    questions: [],
    nextQuestion: 1,
    declined: [],
    heater: OFF,
    cooler: OFF,
    thermostat: program.thermostat === null ? null : UNSET,
    controller: {
      wantHeat: false,
      wantCool: false,
      integral: 0,
      stage: -1,
      lastMeasured_C: null,
      windowFrom_s: null,
      heatUntil_s: 0,
      coolUntil_s: 0,
      output: 0,
      airTarget_C: null,
    },
    limitBroken: null,
    disagreeing: [],
    fence: 0,
  }
}
