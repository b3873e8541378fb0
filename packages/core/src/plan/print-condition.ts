import type { DisplayUnits } from '../units/display.ts'
import type { QuantityKind } from '../units/quantity.ts'
import { COMPARED, USUAL_WINDOW_S } from './comparison-shape.ts'
import type { Condition, QuantityName } from './plan.ts'
import { printQuantity } from './print-quantity.ts'
import { type Mapping, mapping, type Tree } from './print-yaml.ts'

/** A condition in the words of the plan language (condition-shape.ts reads them). */
export function conditionTree(condition: Condition, units: DisplayUnits): Mapping {
  const [key, value] = keyAndValue(condition, units)
  const lasting = condition.lasting_s > 0 ? printQuantity(condition.lasting_s, 'duration', units) : undefined
  return mapping({ [key]: value, lasting })
}

function keyAndValue(condition: Condition, units: DisplayUnits): readonly [string, Tree] {
  const time = (time_s: number): string => printQuantity(time_s, 'duration', units)
  switch (condition.kind) {
    case 'all':
    case 'any':
      return [condition.kind, condition.of.map(each => conditionTree(each, units))]
    case 'not':
      return ['not', conditionTree(condition.of, units)]
    case 'elapsed': {
      const key = { pitch: 'since pitch', stage: 'stage lasted', target: 'at target for' }[condition.since]
      return [key, time(condition.atLeast_s)]
    }
    case 'compare':
      return [condition.quantity, comparisonTree(condition, units)]
    case 'attenuation':
      return ['attenuation', mapping({ 'at least': printQuantity(condition.atLeast, 'share', units) })]
    case 'fall': {
      const rate = printQuantity(condition.rate_per_s, 'gravity rate', units)
      const over = condition.over_s === USUAL_WINDOW_S ? undefined : time(condition.over_s)
      return ['gravity', mapping({ [`falls ${condition.relation}`]: rate, over })]
    }
    case 'steady': {
      const within = printQuantity(condition.within, kindsOf(condition.quantity)[1], units)
      return [condition.quantity, mapping({ 'steady within': within, for: time(condition.for_s) })]
    }
    case 'near target': {
      const within = printQuantity(condition.within_K, 'temperature difference', units)
      return ['beer', mapping({ within })]
    }
    case 'calendar':
      return ['date', mapping({ from: condition.from.text })]
    case 'time of day': {
      const from = { quoted: timeOfDay(condition.from_s) }
      return ['time of day', mapping({ from, to: { quoted: timeOfDay(condition.to_s) } })]
    }
    case 'done':
      return ['done', condition.task]
  }
}

function comparisonTree(
  condition: Extract<Condition, { readonly kind: 'compare' }>,
  units: DisplayUnits,
): Mapping {
  const { against, quantity, relation } = condition
  const [valueKind, differenceKind] = kindsOf(quantity)
  if (against.kind === 'value') return mapping({ [relation]: printQuantity(against.value, valueKind, units) })
  const key = relation === 'at most' ? against.kind : `still ${against.kind}`
  return mapping({ [key]: printQuantity(against.difference, differenceKind, units) })
}

/** Kinds of a quantity's values and of their differences; one that the plan language does not know is a bare number. */
function kindsOf(quantity: QuantityName): readonly [QuantityKind, QuantityKind] {
  const kinds: Readonly<Record<string, readonly [QuantityKind, QuantityKind, string]>> = COMPARED
  const [value = 'number', difference = 'number'] = Object.hasOwn(kinds, quantity) ? kinds[quantity]! : []
  return [value, difference]
}

/** 24:00 is the end of the day, which a clock does not show. */
function timeOfDay(time_s: number): string {
  const two = (count: number): string => String(count).padStart(2, '0')
  return `${two(Math.floor(time_s / 3600))}:${two(Math.floor((time_s % 3600) / 60))}`
}
