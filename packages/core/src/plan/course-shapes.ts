import type { Reading } from '../source-text/reading.ts'
import { type Field, may, need, record } from '../source-text/record.ts'
import { expectScalar, placeWithin, type Shape } from '../source-text/shape.ts'
import { flagOf, quantity } from '../source-text/value-shapes.ts'
import { parseQuantity } from '../units/parse.ts'
import type { Course } from './plan.ts'
import { beerTemperature } from './temperature-shape.ts'

/** Water boils at 100 °C at sea level (1013 hPa), and about 1 K lower for each 300 m of height. */
const BOILING_C = 100

function course<T>(shape: Shape<T>, toCourse: (value: T, reading: Reading) => Course): Shape<Course> {
  return {
    schema: shape.schema,
    read: (node, reading) => {
      const value = shape.read(node, reading)
      return value === undefined ? undefined : toCourse(value, reading)
    },
  }
}

const hold = course(beerTemperature, target_C => ({ kind: 'hold', target_C }))

const RAMP_EXAMPLE = '{ to: 21 °C, over: 3 d } or { to: 2 °C, at: 1 °C/h }'

const ramp = course(
  record(
    {
      to: need(beerTemperature, 'Where the ramp ends.'),
      over: may(quantity('duration', { least: 0, above: true }), 'How long it takes; either this or `at`.'),
      at: may(
        quantity('temperature rate', {
          least: 0,
          above: true,
          said: 'Write a positive rate, as in 1 °C/h: whether it rises or falls follows from `to`.',
        }),
        'How fast the target moves, always positive; either this or `over`.',
      ),
      from: may(beerTemperature, 'Where the ramp begins.', "the target at the stage's beginning"),
    },
    {
      called: 'the ramp',
      example: RAMP_EXAMPLE,
      otherWords: { in: 'over', rate: 'at', for: 'over', target: 'to' },
    },
  ),
  ({ values, keyPlaces, place }, reading) => {
    if (keyPlaces.over !== undefined && keyPlaces.at !== undefined) {
      reading.report(
        'conflicting-keys',
        keyPlaces.at,
        'A ramp takes a time (`over`) or has a rate (`at`), not both.',
        'Leave one of the two out.',
      )
    } else if (keyPlaces.over === undefined && keyPlaces.at === undefined) {
      reading.report(
        'missing-key',
        place,
        'It is not said how long the ramp takes.',
        `Add “over:” or “at:”, as in ${RAMP_EXAMPLE}.`,
      )
    }
    return {
      kind: 'ramp',
      to_C: values.to ?? 0,
      ...(values.from === undefined ? {} : { from_C: values.from }),
      ...(values.over === undefined ? {} : { over_s: values.over }),
      ...(values.at === undefined ? {} : { rate_K_per_s: values.at }),
    }
  },
)

const freeRise = course(
  record(
    {
      to: need(beerTemperature, 'The beer is cooled when it gets warmer than this.'),
      'not below': may(beerTemperature, 'The beer is heated when it gets colder than this.', 'nothing heats'),
    },
    {
      called: 'the free rise',
      example: '{ to: 24 °C, not below: 18 °C }',
      otherWords: { cap: 'to', lowest: 'not below', 'at least': 'not below', from: 'not below' },
    },
  ),
  ({ values, valuePlaces }, reading) => {
    const { to, 'not below': lowest } = values
    if (to !== undefined && lowest !== undefined && lowest >= to) {
      reading.report(
        'reversed-range',
        valuePlaces['not below']!,
        'The beer would be heated at a temperature at which it is cooled already.',
        'Let `not below` be lower than `to`.',
      )
    }
    return { kind: 'free rise', cap_C: to ?? 0, ...(lowest === undefined ? {} : { lowest_C: lowest }) }
  },
)

const leaveAlone: Shape<Course> = {
  schema: { const: true },
  read: (node, reading) => {
    const scalar = expectScalar(node, reading, 'Write “leave alone: true”.')
    if (scalar === undefined) return undefined
    if (flagOf(scalar.text) === true) return { kind: 'leave alone' }
    reading.report(
      'not-a-choice',
      scalar.place,
      '“leave alone” can only be true.',
      'Write “leave alone: true”, or another course such as “hold: 18 °C”.',
    )
    return undefined
  },
}

const power = quantity('share', {
  least: 0,
  greatest: 1,
  above: true,
  said: 'Write a share of the power of the heater, from 1 % to 100 %.',
})

const boilRecord = record(
  {
    power: may(power, 'Share of the power of the heater.', '100 %'),
    from: may(
      beerTemperature,
      'Temperature at which it counts as boiling; lower in the mountains.',
      '100 °C, the boiling point of water at sea level',
    ),
  },
  { called: 'the boil', example: '{ power: 70 %, from: 99 °C }' },
)

const boil: Shape<Course> = {
  schema: { anyOf: [{ const: true }, power.schema, boilRecord.schema] },
  read: (node, reading) => {
    if (node.kind === 'mapping') {
      const values = boilRecord.read(node, reading)?.values ?? {}
      return { kind: 'boil', power: values.power ?? 1, from_C: values.from ?? BOILING_C }
    }
    const scalar = expectScalar(node, reading, 'Write “boil: 70 %”.')
    if (scalar === undefined) return undefined
    if (flagOf(scalar.text) === true) return { kind: 'boil', power: 1, from_C: BOILING_C }
    const meant = parseQuantity(scalar.text, 'temperature')
    if (meant.ok) {
      reading.report(
        'wrong-unit',
        placeWithin(scalar, 0, scalar.text.length, reading),
        'A boil is given by the power of the heater, not by a temperature.',
        'Write it like “boil: 70 %” or “boil: { power: 70 %, from: 98 °C }”.',
      )
      return undefined
    }
    const share = power.read(node, reading)
    return share === undefined ? undefined : { kind: 'boil', power: share, from_C: BOILING_C }
  },
}

/** A stage has exactly one of these keys. */
export const COURSE_FIELDS = {
  hold: may(hold, 'Keeps the beer at this temperature.'),
  rest: may(hold, 'The same as `hold`, in the words of the hot side.'),
  ramp: may(ramp, 'Moves the target evenly from one temperature to another.'),
  'free rise': may(freeRise, "Lets the yeast's own heat raise the beer, up to a cap."),
  'leave alone': may(leaveAlone, 'Nothing heats and nothing cools; only the interlocks act.'),
  boil: may(boil, 'The heater at a constant share of its power; true: all of it.'),
} satisfies Readonly<Record<string, Field<Course>>>
