import type { EngineEvent } from '../../engine/events.ts'
import { sayNoResponse, saySwitched, sayWithheld } from './appliance.ts'
import { sayBatch } from './batch.ts'
import type { SentenceContext } from './context.ts'
import {
  sayAgreement,
  sayBack,
  sayInCharge,
  sayLost,
  sayMovesAgain,
  sayOriginalGravity,
  sayStuck,
} from './instrument.ts'
import { sayLimit } from './limit.ts'
import { sayAnswered, sayAsked } from './question.ts'
import { sayLate, sayStage, sayTargetReached, sayTask, sayUnknownTooLong } from './stage.ts'
import { sayThermostatSet } from './thermostat.ts'

/**
 * What the engine decided, and why, as one line of plain text for logs and reports. The moment is not in it: whoever
 * prints the line knows on what clock it should be told.
 */
export function sentenceFor(event: EngineEvent, context: SentenceContext): string {
  switch (event.kind) {
    case 'batch':
      return sayBatch(event, context)
    case 'stage':
      return sayStage(event, context)
    case 'target reached':
      return sayTargetReached(event, context)
    case 'asked':
      return sayAsked(event)
    case 'answered':
      return sayAnswered(event)
    case 'late':
      return sayLate(event)
    case 'unknown too long':
      return sayUnknownTooLong(event)
    case 'task':
      return sayTask(event)
    case 'original gravity':
      return sayOriginalGravity(event, context)
    case 'in charge':
      return sayInCharge(event, context)
    case 'instrument lost':
      return sayLost(event, context)
    case 'instrument back':
      return sayBack(event, context)
    case 'stuck':
      return sayStuck(event, context)
    case 'moves again':
      return sayMovesAgain(event, context)
    case 'disagree':
    case 'agree':
      return sayAgreement(event, context)
    case 'switched':
      return saySwitched(event, context)
    case 'withheld':
      return sayWithheld(event, context)
    case 'thermostat set':
      return sayThermostatSet(event, context)
    case 'limit broken':
    case 'limit kept':
      return sayLimit(event, context)
    case 'no response':
      return sayNoResponse(event, context)
  }
}
