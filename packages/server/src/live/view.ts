import type { BatchCase } from '@attemper/core/batch/batch-case.ts'
import { batchSentence, believedValue, type Ending } from '@attemper/core/batch/batch-sentence.ts'
import { doubtsOf, type Standing, verdictOf } from '@attemper/core/batch/doubts.ts'
import { measuredValue } from '@attemper/core/batch/measured.ts'
import type { EngineState } from '@attemper/core/engine/contract.ts'
import type { ApplianceName, SwitchedName } from '@attemper/core/engine/events.ts'
import type { BatchRecord } from '../store/store.ts'
import type { BatchView } from './cellar.ts'
import type { LastSwitching } from './last-switching.ts'
import { whyEnded, whyNow } from './why.ts'

/** What is known of a batch beside its records and the engine's state. */
export interface LiveFacts
  extends Pick<Standing, 'links' | 'past' | 'alarms' | 'unwrittenSince_s' | 'heldBy' | 'isKept'> {
  /** null: it goes on. */
  readonly ending: Ending | null
}

/** A batch as it is shown: the sentence, what speaks against 'all is well', the values with their age, and why each appliance is on or off. */
export function viewOf(
  record: BatchRecord,
  { program, context }: BatchCase,
  state: EngineState,
  now_ms: number,
  lastOf: (appliance: ApplianceName) => LastSwitching,
  facts: LiveFacts,
): BatchView {
  const telling = {
    context,
    localOffset_s: record.localOffset_s,
    isBeerKnown: believedValue(state, program.beer) !== null,
  }
  const { ending, links } = facts
  const about = (name: ApplianceName) => ({
    why: ending === null ? whyNow(state, name, lastOf(name), telling) : whyEnded(name, ending, telling),
    link: (ending === null ? links.find(({ appliance }) => appliance === name) : undefined) ?? null,
  })
  const appliance = (name: SwitchedName) =>
    program[name] === null ? null : { on: state[name].on, ...about(name) }
  const now_s = Math.floor(now_ms / 1000)
  const doubts = doubtsOf({ program, state, context, now_s, ...facts })
  const measured = (quantity: number) => measuredValue(program, state, quantity, context, now_s)
  return {
    batch: record,
    now_ms,
    state,
    stage: program.stages[state.stage]?.name ?? '',
    sentence: batchSentence({ name: record.name, state, program, context, now_s, doubts, ending }),
    verdict: verdictOf(doubts),
    doubts,
    ending,
    beer_C: believedValue(state, program.beer),
    gravity: believedValue(state, program.gravity),
    measured: { beer: measured(program.beer), gravity: measured(program.gravity) },
    target_C: state.target_C,
    questions: state.questions,
    heater: appliance('heater'),
    cooler: appliance('cooler'),
    thermostat: state.thermostat ? { target_C: state.thermostat.set_C, ...about('thermostat') } : null,
  }
}
