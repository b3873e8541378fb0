import { act } from './act.ts'
import { arbitrate } from './arbitrate.ts'
import { believeNoTemperature } from './belief.ts'
import { commands } from './commands.ts'
import type { EngineState, Inputs, Outcome } from './contract.ts'
import { beginDraft } from './draft.ts'
import { takeEdits } from './edits.ts'
import { withHold } from './hold.ts'
import { noteLapsed, unlock } from './interlocks.ts'
import { watchFloat } from './original-gravity.ts'
import type { Program } from './program.ts'
import { takeAnswers } from './questions.ts'
import { Scope } from './scope.ts'
import { shiftTimes } from './shift-times.ts'
import { moveOn } from './stages.ts'
import { standByLook } from './stillness.ts'
import { setTarget } from './target.ts'
import { noteThermostatLapsed } from './thermostat.ts'
import { standByMedians, validate } from './validate.ts'

/**
 * The engine: one step of a batch. Pure: the same program, state and inputs give the same outcome, and the state that
 * came in is left as it was.
 *
 * Live it is called at each reading and at `stands.until_s`; a simulator may jump to the first moment at which the answer
 * no longer stands, and decides exactly as if it had called every second (jump.test.ts).
 */
export function advance(program: Program, before: EngineState, inputs: Inputs): Outcome {
  const wasAhead = before.now_s !== null && before.now_s > inputs.now_s
  const known = takenUp(before, inputs.now_s)
  const draft = beginDraft(program, known, inputs.now_s, Scope.of(program.channels.length))
  const { state } = draft
  const { on: wasHeating } = before.heater
  const { on: wasCooling } = before.cooler
  const wasSet_C = before.thermostat?.set_C ?? null
  // What an appliance was told before the batch is not known, and a command that was decided just before the software went
  // away may never have reached it. One that was given by a clock that was ahead holds for longer than it should.
  const mayDiffer = wasAhead || inputs.edits.some(({ kind }) => kind === 'start' || kind === 'restarted')
  if (inputs.edits.some(({ kind }) => kind === 'restarted')) believeNoTemperature(draft)
  validate(draft, inputs.readings)
  arbitrate(draft)
  noteLapsed(draft)
  if (program.thermostat !== null) noteThermostatLapsed(draft, program.thermostat)
  takeEdits(draft, inputs.edits)
  watchFloat(draft)
  const answers = takeAnswers(draft, inputs.answers)
  for (const [question, answer] of answers) {
    if (question.about !== 'no response' || answer !== 'yes') continue
    unlock(draft, question.subject)
  }
  moveOn(draft, answers)
  act(draft, setTarget(draft))
  standByMedians(draft)
  standByLook(draft)
  return {
    commands: commands(draft, { wasHeating, wasCooling, wasSet_C, mayDiffer }),
    events: draft.events,
    stands: draft.scope.stands(draft.now_s, program.remembers),
    state,
  }
}

/**
 * A state from a time that is still to come (the clock has been put back, or was ahead when the software went away) is moved
 * to the present with all its times: what has lasted two hours has still lasted two hours.
 */
function takenUp(before: EngineState, now_s: number): EngineState {
  const known = withHold(before)
  return known.now_s === null || known.now_s <= now_s ? known : shiftTimes(known, now_s - known.now_s)
}
