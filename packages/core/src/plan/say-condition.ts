import type { DisplayUnits } from '../units/display.ts'
import {
  formatClock,
  formatDate,
  formatDifference,
  formatGravityDifference,
  formatGravityRate,
  formatPercent,
  formatQuantity,
  formatQuantityChange,
  spellDuration,
} from '../units/format.ts'
import type { Condition, Plan, QuantityName } from './plan.ts'

/** What English needs to know of a plan besides the condition itself. */
export interface Wording {
  readonly units: DisplayUnits
  /** What is heated and cooled: 'the beer', or on the hot side 'the kettle'. */
  readonly subject: string
  /** What times are counted from: 'pitching', or on the hot side 'the start'. */
  readonly beginning: string
}

export function wordingOf(side: Plan['side'], units: DisplayUnits): Wording {
  return side === 'fermentation'
    ? { units, subject: 'the beer', beginning: 'pitching' }
    : { units, subject: 'the kettle', beginning: 'the start' }
}

const AS_WRITTEN = { precision: 'as written' } as const

/** "the gravity", "the beer's temperature": a quantity as the subject of a sentence. */
export function nameQuantity(quantity: QuantityName, wording: Pick<Wording, 'subject'>): string {
  if (quantity === 'beer') return `${wording.subject}’s temperature`
  if (quantity === 'air') return 'the temperature of the air in the cabinet'
  return `the ${quantity}`
}

/**
 * A condition as a clause that follows "until", "if" or "as soon as". Whatever groups more than can be read without
 * brackets gets lettered parts: (a), (b), and inside (a) in turn (a1), (a2).
 */
export function sayCondition(condition: Condition, wording: Wording): string {
  return say(condition, wording, '')
}

function say(condition: Condition, wording: Wording, label: string): string {
  if (condition.lasting_s === 0) return sayNow(condition, wording, label)
  const span = `for ${spellDuration(condition.lasting_s)} without a break`
  const perfect = sayPerfect(condition, wording)
  if (perfect !== null) return `${perfect} ${span}`
  const inner = { ...condition, lasting_s: 0 }
  return isPlain(inner)
    ? `it has been true ${span} that ${sayNow(inner, wording, label)}`
    : `this has been true ${span}: ${sayNow(inner, wording, label)}`
}

/** Whether its clause can stand beside another, joined by "and" or "or", without being misread. */
function isPlain(condition: Condition): boolean {
  if (condition.kind === 'all' || condition.kind === 'any')
    return condition.of.length === 1 && isPlain(condition.of[0]!)
  if (condition.kind === 'not') return isPlain(condition.of) && condition.of.lasting_s === 0
  return true
}

function sayNow(condition: Condition, wording: Wording, label: string): string {
  switch (condition.kind) {
    case 'all':
      return sayGroup(condition.of, wording, label, {
        joint: 'and',
        opening: condition.of.length === 2 ? 'both of these are true' : 'all of these are true',
        empty: 'nothing more is needed',
      })
    case 'any':
      return sayGroup(condition.of, wording, label, {
        joint: 'or',
        opening: 'at least one of these is true',
        empty: 'nothing can make this true',
      })
    case 'not':
      return sayNot(condition.of, wording, label)
    default:
      return sayLeaf(condition, wording, true)
  }
}

function sayGroup(
  of: readonly Condition[],
  wording: Wording,
  label: string,
  words: { readonly joint: string; readonly opening: string; readonly empty: string },
): string {
  if (of.length === 0) return words.empty
  if (of.length === 1) return say(of[0]!, wording, label)
  if (of.length === 2 && of.every(isPlain)) {
    const [first, second] = of.map(each => say(each, wording, label))
    const opening = words.joint === 'or' ? 'either ' : ''
    if (!hasJoint(first!) && !hasJoint(second!)) return `${opening}${first} ${words.joint} ${second}`
  }
  return `${words.opening}: ${listParts(of, wording, label)}`
}

/** A clause that another one can not be joined to without a doubt where it ends. */
function hasJoint(clause: string): boolean {
  return /,| and /.test(clause)
}

function listParts(of: readonly Condition[], wording: Wording, label: string): string {
  const lettered = label === '' || /\d$/.test(label)
  return of
    .map((each, index) => {
      const own = `${label}${lettered ? letters(index) : index + 1}`
      return `(${own}) ${say(each, wording, own)}`
    })
    .join('; ')
}

/** a, b, ... z, aa, ab, ... */
function letters(index: number): string {
  const last = String.fromCharCode(97 + (index % 26))
  return index < 26 ? last : letters(Math.floor(index / 26) - 1) + last
}

function sayNot(of: Condition, wording: Wording, label: string): string {
  if (of.lasting_s > 0) {
    return isPlain(of)
      ? `it is not true that ${say(of, wording, label)}`
      : `this is not true: ${say(of, wording, label)}`
  }
  switch (of.kind) {
    case 'all':
    case 'any': {
      if (of.of.length === 0) return `this is not true: ${sayNow(of, wording, label)}`
      if (of.of.length === 1) return sayNot(of.of[0]!, wording, label)
      const opening = of.kind === 'all' ? 'not all of these are true' : 'none of these is true'
      return `${opening}: ${listParts(of.of, wording, label)}`
    }
    case 'not':
      return say(of.of, wording, label)
    default:
      return sayLeaf(of, wording, false)
  }
}

type Leaf = Exclude<Condition, { readonly kind: 'all' | 'any' | 'not' }>
type Compare = Extract<Condition, { readonly kind: 'compare' }>

function sayLeaf(condition: Leaf, wording: Wording, positive: boolean): string {
  const { units } = wording
  switch (condition.kind) {
    case 'elapsed':
      return sayElapsed(condition.since, condition.atLeast_s, wording, positive)
    case 'compare':
      return `${compareSubject(condition, wording)} is ${sayLevel(condition, wording, positive)}`
    case 'attenuation':
      return `the apparent attenuation is ${positive ? 'at least' : 'below'} ${formatPercent(condition.atLeast, 'as written')}`
    case 'fall':
      return sayFall(condition, wording, positive)
    case 'steady': {
      const within = formatQuantityChange(condition.quantity, condition.within, units, AS_WRITTEN)
      const name = nameQuantity(condition.quantity, wording)
      return `${name} has ${positive ? '' : 'not '}been steady within ${within} over ${sayLast(condition.for_s)}`
    }
    case 'near target': {
      const within = formatDifference(condition.within_K, units, 'as written')
      return positive
        ? `${wording.subject} is within ${within} of the target`
        : `${wording.subject} is more than ${within} away from the target`
    }
    case 'calendar': {
      const { local_s } = condition.from
      const seconds = ((local_s % 60) + 60) % 60
      const minute = formatClock(local_s, units)
      const clock = seconds === 0 ? minute : minute.replace(/:\d\d/, `$&:${String(seconds).padStart(2, '0')}`)
      return `it is ${positive ? '' : 'not yet '}${clock} on ${formatDate(local_s)}${positive ? ' or later' : ''}`
    }
    case 'time of day': {
      const { from_s, to_s } = condition
      const night = from_s > to_s ? ' of the next day' : ''
      return `the time of day is ${positive ? '' : 'not '}between ${formatClock(from_s, units)} and ${formatClock(to_s, units)}${night}`
    }
    case 'done':
      return `the brewer has ${positive ? 'done' : 'not yet done'} “${condition.task}”`
  }
}

function sayElapsed(
  since: 'pitch' | 'stage' | 'target',
  atLeast_s: number,
  wording: Wording,
  positive: boolean,
): string {
  if (since === 'target' && atLeast_s === 0) {
    return `the target has ${positive ? '' : 'not yet '}been reached`
  }
  const duration = spellDuration(atLeast_s)
  if (since === 'stage') {
    return `the stage has lasted ${positive ? 'at least' : 'less than'} ${duration}`
  }
  if (since === 'pitch') {
    return `it is ${positive ? 'at least' : 'less than'} ${duration} since ${wording.beginning}`
  }
  return positive
    ? `it is at least ${duration} since the target was reached`
    : `it is not yet ${duration} since the target was reached`
}

/** "the last 2 days", "the last hour". */
function sayLast(span_s: number): string {
  return `the last ${spellDuration(span_s).replace(/^1 (?=[a-z]+$)/, '')}`
}

function compareSubject(condition: Compare, wording: Wording): string {
  return condition.quantity === 'beer' ? wording.subject : nameQuantity(condition.quantity, wording)
}

/** "at or below 2.5 °C", "no more than 10 points above the expected final gravity". */
function sayLevel(condition: Compare, wording: Wording, positive: boolean): string {
  const { units } = wording
  const atLeast = condition.relation === 'at least'
  const { against } = condition
  if (against.kind === 'value') {
    const value = formatQuantity(condition.quantity, against.value, units, AS_WRITTEN)
    if (positive) return `at or ${atLeast ? 'above' : 'below'} ${value}`
    return `${atLeast ? 'below' : 'above'} ${value}`
  }
  const base = against.kind === 'above final' ? 'the expected final gravity' : 'the forecast final gravity'
  const { difference } = against
  const size = formatGravityDifference(Math.abs(difference), units)
  if (difference === 0) {
    if (positive) return `at or ${atLeast ? 'above' : 'below'} ${base}`
    return `${atLeast ? 'below' : 'above'} ${base}`
  }
  const side = difference > 0 ? 'above' : 'below'
  const wantsMore = atLeast === difference > 0
  if (positive) return `${wantsMore ? 'at least' : 'no more than'} ${size} ${side} ${base}`
  return `${wantsMore ? 'less than' : 'more than'} ${size} ${side} ${base}`
}

function sayFall(
  condition: Extract<Condition, { readonly kind: 'fall' }>,
  wording: Wording,
  positive: boolean,
): string {
  const { rate_per_s, over_s } = condition
  const rate = formatGravityRate(Math.abs(rate_per_s), wording.units)
  const verb = rate_per_s < 0 ? 'rises' : 'falls'
  const wantsMore = (condition.relation === 'at least') === rate_per_s >= 0
  const bound = positive ? (wantsMore ? 'at least' : 'no more than') : wantsMore ? 'less than' : 'more than'
  return `the gravity ${verb} by ${bound} ${rate} (averaged over ${sayLast(over_s)})`
}

/** "the beer has been at or below 2.5 °C", to be followed by "for 12 hours"; null where English has no such form. */
function sayPerfect(condition: Condition, wording: Wording): string | null {
  if (condition.kind === 'compare') {
    return `${compareSubject(condition, wording)} has been ${sayLevel(condition, wording, true)}`
  }
  if (condition.kind === 'near target') {
    return `${wording.subject} has been within ${formatDifference(condition.within_K, wording.units, 'as written')} of the target`
  }
  if (condition.kind === 'attenuation') {
    return `the apparent attenuation has been at least ${formatPercent(condition.atLeast, 'as written')}`
  }
  return null
}

/** Whether a condition looks back over a time, and so stays unknown until there are readings of all of it. */
export function looksBack(condition: Condition): boolean {
  if (condition.kind === 'all' || condition.kind === 'any') return condition.of.some(looksBack)
  if (condition.kind === 'not') return looksBack(condition.of)
  return condition.kind === 'steady' || condition.kind === 'fall'
}
