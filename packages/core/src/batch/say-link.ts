import type { DisplayUnits } from '../units/display.ts'
import { formatTemperature } from '../units/format.ts'
import type { ApplianceLink, LinkProblem, Order } from './appliance-link.ts'
import { type SayingNow, sayAge, saySince } from './say-measured.ts'

/** "told on, not confirmed since 13:05", for a line beside the appliance's name. */
export function sayLinkShortly(link: ApplianceLink, telling: SayingNow): string {
  const { state, told_s, order, since_s } = link
  const { units } = telling.context
  const told = told_s === null ? 'not told anything yet' : `told ${orderWords(order, units)}`
  switch (state) {
    case 'confirmed':
      return told_s === null
        ? told
        : `${orderWords(order, units)}, confirmed ${sayAge(link.confirmedAt_s!, telling)}`
    case 'told':
      return `${told} ${sayAge(told_s!, telling)}, not confirmed yet`
    case 'refused':
    case 'unheard':
      return `${told}, not confirmed since ${saySince(since_s, telling)}`
    case 'unknown':
      return told_s === null ? told : `${told}; whether it is cannot be known`
  }
}

/** The same as a whole sentence, with the reason. */
export function sayLink(link: ApplianceLink, telling: SayingNow): string {
  const { appliance, state, told_s, order, since_s, problem } = link
  const { units } = telling.context
  const why = problem === null ? '' : sayProblem(problem, units)
  if (state === 'unknown') {
    const told = told_s === null ? '' : ` was told to be ${orderWords(order, units)}; it`
    return told_s === null
      ? `The ${appliance} has not been told anything yet.`
      : `The ${appliance}${told} does not report whether it is.`
  }
  const because = why === '' ? '' : ` (${why})`
  if (told_s === null) {
    return `The ${appliance} can not be reached since ${saySince(since_s, telling)}${because}.`
  }
  return `The ${appliance} was told to be ${orderWords(order, units)} and has not confirmed it since ${saySince(since_s, telling)}${because}.`
}

function orderWords(order: Order, units: DisplayUnits): string {
  if (order === null || order === false) return 'off'
  return order === true ? 'on' : `at ${formatTemperature(order, units)}`
}

export function sayProblem(problem: LinkProblem, units: DisplayUnits): string {
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
      return `it says that it is ${orderWords(problem.order, units)}`
    case 'obeys another':
      return 'it obeys a newer command of somebody else'
    case 'not told yet':
      return 'it has not been told anything yet'
  }
}
