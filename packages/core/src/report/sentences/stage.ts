import type { EngineEvent } from '../../engine/events.ts'
import { formatDuration, formatTemperature } from '../../units/format.ts'
import type { SentenceContext } from './context.ts'
import { capital, subjectOf } from './names.ts'

type Of<K extends EngineEvent['kind']> = Extract<EngineEvent, { readonly kind: K }>

export function sayStage(event: Of<'stage'>, context: SentenceContext): string {
  const { from, stage } = event
  if (from === null) return `${stage} begins.`
  const reasons = context.reasons?.[from]
  const because = (reason: string | undefined): string => (reason === undefined ? '' : `, because ${reason}`)
  switch (event.why) {
    case 'start':
      return `${stage} begins.`
    case 'condition':
      return `${from} is over${because(reasons?.until)}. ${stage} begins.`
    case 'branch':
      return `${from} is left by a branch${because(reasons?.branchTo[stage])}. ${stage} begins.`
    case 'late':
      return `${from} has lasted ${longest(reasons?.atMost_s)}. ${stage} begins.`
    case 'fallback':
      return `${from} is over by its fallback condition${because(reasons?.instead)}. ${stage} begins.`
    case 'answer':
      return `${from} is over, because the brewer said yes. ${stage} begins.`
    case 'edit':
      return `The brewer has moved the batch from ${from} to ${stage}.`
  }
}

export function sayTargetReached(event: Of<'target reached'>, context: SentenceContext): string {
  const { units } = context
  const target = formatTemperature(event.target_C, units)
  return `Target of ${event.stage} reached: ${subjectOf(context)} is at ${formatTemperature(event.beer_C, units)}, the target is ${target}.`
}

export function sayLate(event: Of<'late'>): string {
  return `${event.stage} has lasted ${longest(event.after_s)}: ${sayResponse(event.response)}.`
}

export function sayUnknownTooLong(event: Of<'unknown too long'>): string {
  const time = formatDuration(event.after_s)
  return `For ${time} nobody could tell whether ${event.stage} may end: ${sayResponse(event.response)}.`
}

export function sayTask(event: Of<'task'>): string {
  const wait = event.wait ? ` ${event.stage} can not end before it is done.` : ''
  return `Task for the brewer: “${capital(event.task)}”.${wait}`
}

function longest(time_s: number | undefined): string {
  return time_s === undefined ? 'its longest time' : `its longest time of ${formatDuration(time_s)}`
}

/** A response as the plan names it. */
function sayResponse(response: string): string {
  switch (response) {
    case 'ask':
      return 'the brewer is asked'
    case 'go on':
      return 'the batch goes on all the same'
    case 'hold':
      return 'the stage stays and keeps its temperature, with an alarm'
    case 'go to':
      return 'the batch goes to the stage that the plan names for this'
    case 'use':
      return 'the fallback condition decides from now on'
    default:
      return response
  }
}
