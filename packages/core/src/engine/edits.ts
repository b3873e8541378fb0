import type { ApplianceState, Edit } from './contract.ts'
import type { Draft } from './draft.ts'
import { settleOriginalGravity } from './original-gravity.ts'
import { enterStage, holdBatch, setBatch } from './stages.ts'

/** Takes in what a person did to the batch. An edit that does not fit the batch's state changes nothing. */
export function takeEdits(draft: Draft, edits: readonly Edit[]): void {
  for (const edit of edits) takeEdit(draft, edit)
}

function takeEdit(draft: Draft, edit: Edit): void {
  const { state, program, now_s } = draft
  const isActive = state.batch === 'running' || state.batch === 'held'
  switch (edit.kind) {
    case 'start':
      if (state.batch !== 'idle') return
      state.startedAt_s = now_s
      // What the compressor did before is not known: it may have stopped a moment ago.
      state.cooler = restFrom(state.cooler, now_s)
      setBatch(draft, 'running', 'started')
      enterStage(draft, 0, 'start')
      return
    case 'hold':
      if (state.batch === 'running') holdBatch(draft, 'brewer', 'the brewer holds it')
      return
    case 'resume':
      if (state.batch === 'held') setBatch(draft, 'running', 'the brewer goes on')
      return
    case 'stop':
      if (isActive || state.batch === 'complete') setBatch(draft, 'stopped', 'the brewer stops it')
      return
    case 'abort':
      if (state.batch !== 'aborted') setBatch(draft, 'aborted', 'the brewer aborts it')
      return
    case 'go to': {
      const number = program.stages.findIndex(stage => stage.name === edit.stage)
      if (isActive && number >= 0) enterStage(draft, number, 'edit')
      return
    }
    case 'restarted':
      state.heater = restFrom(state.heater, now_s)
      state.cooler = restFrom(state.cooler, now_s)
      if (state.thermostat) state.thermostat = { ...state.thermostat, ...NOT_WATCHED }
      draft.scope.lookAgain()
      return
    case 'expect final gravity':
      state.finalGravity = edit.gravity
      draft.scope.lookAgain()
      return
    case 'original gravity':
      settleOriginalGravity(draft, edit.gravity, 'hand')
      return
  }
}

const NOT_WATCHED = { watchFrom_s: null, watchFrom_C: null, hasResponded: false } as const

function restFrom(appliance: ApplianceState, now_s: number): ApplianceState {
  const ranUntil_s = appliance.on ? now_s : appliance.ranUntil_s
  return {
    ...appliance,
    on: false,
    since_s: now_s,
    ranUntil_s,
    ...NOT_WATCHED,
  }
}
