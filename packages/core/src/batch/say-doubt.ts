import { sayAlarm } from '../alarms/say-alarm.ts'
import { sentenceFor } from '../report/sentences/sentence.ts'
import { formatDifference } from '../units/format.ts'
import type { Doubt } from './doubts.ts'
import { byWhom } from './named.ts'
import { sayLink } from './say-link.ts'
import { type SayingNow, saySince } from './say-measured.ts'

export interface DoubtContext extends SayingNow {
  readonly side: 'fermentation' | 'hot side'
}

/** A doubt as a whole sentence, to be read out over the telephone. */
export function sayDoubt(doubt: Doubt, telling: DoubtContext): string {
  const { context, now_s } = telling
  const since = (at_s: number) => saySince(at_s, telling)
  switch (doubt.kind) {
    case 'not kept':
      return 'Nobody looks after it: it could not be taken up.'
    case 'temperature unknown': {
      const subject = telling.side === 'hot side' ? 'the kettle' : 'the beer'
      return `Nobody knows how warm ${subject} is, so nothing heats or cools: look at the probe.`
    }
    case 'limit broken':
      return `It is beyond the plan's ${doubt.limit} limit.`
    case 'disagree':
      return `Two instruments disagree about the ${quantityName(doubt.quantity)}.`
    case 'question':
      return sentenceFor({ kind: 'asked', at_s: now_s, question: doubt.question }, context)
    case 'held':
      return sayHeld(doubt, telling)
    case 'stale':
      return doubt.since_s === null
        ? `${doubt.instrument} has not been heard yet, so the ${quantityName(doubt.quantity)} is unknown.`
        : `${doubt.instrument} has been silent since ${since(doubt.since_s)}.`
    case 'appliance':
      return sayLink(doubt.link, telling)
    case 'off target': {
      const by = formatDifference(Math.abs(doubt.by_K), context.units)
      const way = doubt.by_K > 0 ? 'warmer' : 'colder'
      return `The beer is ${by} ${way} than its target and ${MOVING[doubt.moving]}.`
    }
    case 'records':
      return `What happens can not be written down since ${since(doubt.since_s)}.`
    case 'alarm': {
      const said = sayAlarm({ code: doubt.code, subject: doubt.subject })
      return doubt.isOver
        ? `An alarm has not been seen by anybody: ${said}; it is over.`
        : `An alarm is on: ${said}.`
    }
  }
}

const MOVING = {
  away: 'moving away from it',
  not: 'does not come nearer',
  'too slowly': 'comes nearer too slowly',
} as const

function sayHeld({ by, who, since_s }: Extract<Doubt, { kind: 'held' }>, telling: DoubtContext): string {
  const since = since_s === null ? '' : ` since ${saySince(since_s, telling)}`
  const holder = by === 'brewer' || by === null ? byWhom(who) : ' by the plan'
  return `It is held${holder}${since}; it goes on when you say so.`
}

export function quantityName(name: string): string {
  return name === 'beer' || name === 'air' ? `${name} temperature` : name
}
