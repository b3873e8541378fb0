import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import { batchSentence, believedValue } from '@attemper/core/batch/batch-sentence.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName, SwitchedName } from '@attemper/core/engine/events.ts'
import type { BatchRecord } from '../store/store.ts'
import type { BatchView } from './cellar.ts'
import type { LastSwitching } from './last-switching.ts'
import { whyNow } from './why.ts'

/** A batch as it is shown: the sentence, the believed values, and why each appliance is on or off. */
export function viewOf(
  record: BatchRecord,
  { program, context }: BatchCase,
  state: EngineState,
  now_ms: number,
  lastOf: (appliance: ApplianceName) => LastSwitching,
): BatchView {
  const why = (name: ApplianceName) =>
    whyNow(state, name, lastOf(name), {
      context,
      localOffset_s: record.localOffset_s,
      isBeerKnown: believedValue(state, program.beer) !== null,
    })
  const appliance = (name: SwitchedName) =>
    program[name] === null ? null : { on: state[name].on, why: why(name) }
  const now_s = Math.floor(now_ms / 1000)
  return {
    batch: record,
    now_ms,
    state,
    stage: program.stages[state.stage]?.name ?? '',
    sentence: batchSentence({ name: record.name, state, program, context, now_s }),
    beer_C: believedValue(state, program.beer),
    gravity: believedValue(state, program.gravity),
    target_C: state.target_C,
    questions: state.questions,
    heater: appliance('heater'),
    cooler: appliance('cooler'),
    thermostat: state.thermostat ? { target_C: state.thermostat.set_C, why: why('thermostat') } : null,
  }
}
