import { sayAlarm } from '../alarms/say-alarm.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import { sentenceFor } from '../report/sentences/sentence.ts'
import { formatDifference, formatTemperature } from '../units/format.ts'
import type { ApplianceLink, LinkProblem, Order } from './appliance-link.ts'
import type { Doubt } from './doubts.ts'
import { sayAge, sayMeasured, saySince } from './say-measured.ts'

export interface DoubtContext {
  readonly context: SentenceContext
  readonly now_s: number
  /** Local time is UTC and this. */
  readonly localOffset_s: number
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
      const last = doubt.last === null ? '' : ` It was last ${sayMeasured(doubt.last, 'beer', telling)}.`
      return `Nobody knows how warm ${subject} is, so nothing heats or cools: look at the probe.${last}`
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
  const holder = by === 'brewer' || by === null ? (who === null ? '' : ` by ${who}`) : ' by the plan'
  return `It is held${holder}${since}; it goes on when you say so.`
}

/** "told on, not confirmed since 13:05", for a line beside the appliance's name. */
export function sayLinkShortly(link: ApplianceLink, telling: DoubtContext): string {
  const { state, told_s, order, since_s } = link
  const told = told_s === null ? 'not told anything yet' : `told ${orderWords(order, telling)}`
  switch (state) {
    case 'confirmed':
      return told_s === null
        ? told
        : `${orderWords(order, telling)}, confirmed ${sayAge(link.confirmedAt_s!, telling)}`
    case 'told':
      return `${told} ${sayAge(told_s!, telling)}, not confirmed yet`
    case 'refused':
    case 'unheard':
      return `${told}, not confirmed since ${saySince(since_s, telling)}`
    case 'unknown':
      return told_s === null ? told : `${told}; whether it is cannot be known`
  }
}

function sayLink(link: ApplianceLink, telling: DoubtContext): string {
  const { appliance, state, told_s, order, since_s, problem } = link
  const why = problem === null ? '' : sayProblem(problem, telling)
  if (state === 'unknown') {
    const told = told_s === null ? '' : ` was told to be ${orderWords(order, telling)}; it`
    return told_s === null
      ? `The ${appliance} has not been told anything yet.`
      : `The ${appliance}${told} does not report whether it is.`
  }
  const because = why === '' ? '' : ` (${why})`
  if (told_s === null) {
    return `The ${appliance} can not be reached since ${saySince(since_s, telling)}${because}.`
  }
  return `The ${appliance} was told to be ${orderWords(order, telling)} and has not confirmed it since ${saySince(since_s, telling)}${because}.`
}

function orderWords(order: Order, { context }: DoubtContext): string {
  if (order === null || order === false) return 'off'
  return order === true ? 'on' : `at ${formatTemperature(order, context.units)}`
}

export function sayProblem(problem: LinkProblem, telling: DoubtContext): string {
  switch (problem.kind) {
    case 'nobody listens':
      return `nothing listens on ${problem.where}`
    case 'no confirmation':
      return 'it does not answer'
    case 'silent':
      return 'it does not report any more'
    case 'door':
      return problem.said
    case 'does other':
      return `it says that it is ${orderWords(problem.order, telling)}`
    case 'obeys another':
      return 'it obeys a newer command of somebody else'
    case 'not told yet':
      return 'it has not been told anything yet'
  }
}

export function quantityName(name: string): string {
  return name === 'beer' || name === 'air' ? `${name} temperature` : name
}
