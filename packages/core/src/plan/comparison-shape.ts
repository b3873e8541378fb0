import type { Place } from '../place.ts'
import type { Reading } from '../source-text/reading.ts'
import { may, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { quantity } from '../source-text/value-shapes.ts'
import type { QuantityKind } from '../units/quantity.ts'
import type { ConditionBody } from './condition-shape.ts'
import { beerTemperature } from './temperature-shape.ts'

/** The measured quantities that a plan can compare, with the kinds of their values and of their differences. */
export const COMPARED = {
  gravity: ['gravity', 'gravity difference', '{ at most: 1.012 }'],
  'forecast final gravity': ['gravity', 'gravity difference', '{ at most: 1.014 }'],
  beer: ['temperature', 'temperature difference', '{ at most: 2.5 °C }'],
  air: ['temperature', 'temperature difference', '{ at most: 2.5 °C }'],
  pressure: ['pressure', 'pressure', '{ at least: 0.8 bar }'],
  pH: ['number', 'number', '{ at most: 4.4 }'],
  humidity: ['share', 'share', '{ at most: 60 % }'],
  power: ['power', 'power', '{ at least: 20 W }'],
} as const satisfies Readonly<Record<string, readonly [QuantityKind, QuantityKind, string]>>

export type ComparedQuantity = keyof typeof COMPARED

/** Quantities whose name does not say what is measured. */
const CALLED: Readonly<Record<string, string>> = {
  beer: 'temperature of the beer',
  air: 'temperature of the air',
}

/** Averages over less than a day would mostly see the noise of the instrument. Common practice, no source. */
export const USUAL_WINDOW_S = 86400

/** The mapping behind `gravity:`, `beer:` and so on; each of its keys gives a condition, and all must be true. */
export function comparisonShape(name: ComparedQuantity): Shape<readonly ConditionBody[]> {
  const [valueKind, differenceKind, example] = COMPARED[name]
  const value = valueKind === 'temperature' ? beerTemperature : quantity(valueKind)
  const difference = quantity(differenceKind)
  const called = CALLED[name] ?? name
  const atLeast = may(value, `At least this ${called}.`)
  const atMost = may(value, `At most this ${called}.`)
  const steady = may(
    quantity(differenceKind, { least: 0, above: true }),
    'The readings of the time given by `for` change by no more than this.',
  )
  const window = may(
    quantity('duration', { least: 0, above: true }),
    'With `steady within`: over how long it must be steady.',
  )
  const common = { 'at least': atLeast, 'at most': atMost, 'steady within': steady, for: window }
  const fields = {
    gravity: {
      ...common,
      'above final': may(difference, 'At most this far above the expected final gravity.'),
      'above forecast': may(
        difference,
        'At most this far above the final gravity forecast from the readings.',
      ),
      'still above final': may(difference, 'Still at least this far above the expected final gravity.'),
      'still above forecast': may(difference, 'Still at least this far above the forecast final gravity.'),
      'falls at most': may(
        quantity('gravity rate'),
        'Falls by no more than this in a time, such as 1 point/d.',
      ),
      'falls at least': may(
        quantity('gravity rate'),
        'Falls by at least this in a time, such as 5 points/d.',
      ),
      over: may(
        quantity('duration', { least: 0, above: true }),
        'With `falls at most` or `falls at least`: over how long the fall is averaged.',
        '24 h',
      ),
    },
    beer: {
      ...common,
      within: may(
        quantity('temperature difference', { least: 0, above: true }),
        'Within this difference of the target of the stage.',
      ),
    },
    'forecast final gravity': { 'at least': atLeast, 'at most': atMost },
  }
  const ownFields: AnyComparison = Object.hasOwn(fields, name) ? fields[name as keyof typeof fields] : common
  const shape = record(ownFields, {
    called: `the condition on the ${called}`,
    example,
    otherWords: {
      below: 'at most',
      above: 'at least',
      under: 'at most',
      over: 'at least',
      min: 'at least',
      max: 'at most',
    },
  })
  return {
    schema: { ...shape.schema, minProperties: 1 },
    read: (node, reading) => {
      const read = shape.read(node, reading)
      if (node.kind === 'mapping' && node.entries.length === 0) {
        reading.report(
          'missing-key',
          node.place,
          'Here a comparison is missing.',
          `Write it like ${example}.`,
        )
      }
      return read === undefined ? undefined : conditionsFrom(name, read, reading)
    },
  }
}

type NumberField = ReturnType<typeof may<number>>
type AnyComparison = Readonly<Record<string, NumberField>>

function conditionsFrom(
  quantityName: ComparedQuantity,
  read: ReadRecord<AnyComparison>,
  reading: Reading,
): readonly ConditionBody[] {
  const { values, keyPlaces } = read
  const conditions: ConditionBody[] = []
  const least = values['at least']
  const most = values['at most']
  if (least !== undefined && most !== undefined && least > most) {
    reading.report(
      'reversed-range',
      keyPlaces['at least']!,
      'It cannot be at least the larger and at most the smaller of two values.',
      'Exchange the two, or correct one of them.',
    )
  }
  const compare = (relation: 'at least' | 'at most', key: string, kind: 'above final' | 'above forecast') => {
    const difference = values[key]
    if (difference === undefined) return
    conditions.push({ kind: 'compare', quantity: quantityName, relation, against: { kind, difference } })
  }
  if (least !== undefined) conditions.push(against(quantityName, 'at least', least))
  if (most !== undefined) conditions.push(against(quantityName, 'at most', most))
  compare('at most', 'above final', 'above final')
  compare('at most', 'above forecast', 'above forecast')
  compare('at least', 'still above final', 'above final')
  compare('at least', 'still above forecast', 'above forecast')
  for (const relation of ['at least', 'at most'] as const) {
    const rate_per_s = values[`falls ${relation}`]
    if (rate_per_s === undefined) continue
    conditions.push({ kind: 'fall', relation, rate_per_s, over_s: values.over ?? USUAL_WINDOW_S })
  }
  if (values.within !== undefined) conditions.push({ kind: 'near target', within_K: values.within })
  const within = values['steady within']
  if (within !== undefined) {
    conditions.push({ kind: 'steady', quantity: quantityName, within, for_s: values.for ?? 0 })
  }
  checkPairs(keyPlaces, reading)
  return conditions
}

function against(name: ComparedQuantity, relation: 'at least' | 'at most', value: number): ConditionBody {
  return { kind: 'compare', quantity: name, relation, against: { kind: 'value', value } }
}

/** `steady within` needs `for`; `for` and `over` mean nothing alone. */
function checkPairs(keyPlaces: Readonly<Record<string, Place | undefined>>, reading: Reading) {
  const steady = keyPlaces['steady within']
  const window = keyPlaces.for
  const falls = keyPlaces['falls at most'] ?? keyPlaces['falls at least']
  if (steady !== undefined && window === undefined) {
    reading.report(
      'missing-key',
      steady,
      'It is not said for how long it must be steady.',
      'Add “for:”, as in { steady within: 1 point, for: 48 h }.',
    )
  }
  if (window !== undefined && steady === undefined) {
    reading.report(
      'missing-key',
      window,
      '“for” belongs to “steady within”, which is missing.',
      'Add “steady within:”, or write “lasting:” beside the condition if it should be true for that long.',
    )
  }
  if (keyPlaces.over !== undefined && falls === undefined) {
    reading.report(
      'missing-key',
      keyPlaces.over,
      '“over” belongs to “falls at most” or “falls at least”, which are missing.',
      'Add one of them, or leave “over” out.',
    )
  }
}
