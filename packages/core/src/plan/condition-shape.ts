import type { Place } from '../place.ts'
import { list } from '../source-text/list.ts'
import type { Reading } from '../source-text/reading.ts'
import {
  describedSchema,
  expectMapping,
  type Field,
  may,
  need,
  normalKey,
  type RecordOptions,
  record,
  reportUnknownKey,
} from '../source-text/record.ts'
import type { JsonSchema, Shape } from '../source-text/shape.ts'
import type { SourceEntry, SourceNode } from '../source-text/source-node.ts'
import { localDateTime, nameOf, quantity, timeOfDay } from '../source-text/value-shapes.ts'
import { comparisonShape } from './comparison-shape.ts'
import type { Condition } from './plan.ts'

/** A condition without its dwell and its place. */
export type ConditionBody = Condition extends infer C
  ? C extends unknown
    ? Omit<C, 'lasting_s' | 'place'>
    : never
  : never

const EXAMPLE = '{ stage lasted: 3 d }'
const MOST_PARTS = 50

const OPTIONS: RecordOptions = {
  called: 'a condition',
  example: EXAMPLE,
  outerKeys: [
    'then',
    'ask first',
    'at most',
    'if late',
    'if unknown',
    'branches',
    'tasks',
    'control',
    'go to',
    'task',
    'wait',
    'stage',
  ],
  otherWords: {
    and: 'all',
    or: 'any',
    temperature: 'beer',
    temp: 'beer',
    sg: 'gravity',
    time: 'stage lasted',
    elapsed: 'stage lasted',
    lasted: 'stage lasted',
    acknowledged: 'done',
    task: 'done',
    'since start': 'since pitch',
    'since target': 'at target for',
    'after target': 'at target for',
    calendar: 'date',
    clock: 'time of day',
    for: 'lasting',
  },
}

/** A condition: a mapping with exactly one key of the table below, and perhaps `lasting`. */
export const conditionShape: Shape<Condition> = { schema: { $ref: '#/$defs/condition' }, read: readCondition }

function body<T>(shape: Shape<T>, toBody: (value: T) => ConditionBody): Shape<readonly ConditionBody[]> {
  return {
    schema: shape.schema,
    read: (node, reading) => {
      const value = shape.read(node, reading)
      return value === undefined ? undefined : [toBody(value)]
    },
  }
}

const parts = list(conditionShape, {
  called: 'conditions',
  example: '[ { stage lasted: 3 d }, { gravity: { at most: 1.012 } } ]',
  least: 1,
  most: MOST_PARTS,
})

function elapsed(since: 'pitch' | 'stage' | 'target') {
  return body(quantity('duration'), atLeast_s => ({ kind: 'elapsed', since, atLeast_s }))
}

/** The name of a task, which must be given somewhere in the plan. */
const taskName: Shape<string> = {
  schema: nameOf('task').schema,
  read: (node, reading) => {
    const task = nameOf('task').read(node, reading)
    if (task !== undefined) reading.mention('task', task, node.place)
    return task
  },
}

export const CONDITION_FIELDS: Readonly<Record<string, Field<readonly ConditionBody[]>>> = {
  all: may(
    body(parts, of => ({ kind: 'all', of })),
    'True when all of these conditions are true; false when one of them is false.',
  ),
  any: may(
    body(parts, of => ({ kind: 'any', of })),
    'True when one of these conditions is true, even if another is unknown.',
  ),
  not: may(
    body(conditionShape, of => ({ kind: 'not', of })),
    'True when this condition is false; unknown when it is unknown.',
  ),
  'stage lasted': may(elapsed('stage'), 'Time since the stage began.'),
  'since pitch': may(elapsed('pitch'), 'Time since pitching; on the hot side, since the start.'),
  'at target for': may(
    elapsed('target'),
    "Time since the stage's target was first reached, as a mash rest counts.",
  ),
  gravity: may(
    comparisonShape('gravity'),
    'Compares the gravity, or how it changes. Several keys must all be true.',
  ),
  attenuation: may(
    body(
      record(
        {
          'at least': need(
            quantity('share', { least: 0, greatest: 1.2, said: 'Write a share from 0 % to 120 %.' }),
            'Apparent attenuation, (OG - SG) / (OG - 1).',
          ),
        },
        { called: 'the condition on the attenuation', example: '{ at least: 75 % }' },
      ),
      ({ values }) => ({ kind: 'attenuation', atLeast: values['at least'] ?? 0 }),
    ),
    'Compares the apparent attenuation.',
  ),
  'forecast final gravity': may(
    comparisonShape('forecast final gravity'),
    'Compares the final gravity that is forecast from the readings.',
  ),
  beer: may(comparisonShape('beer'), 'Compares the temperature of the beer. Several keys must all be true.'),
  air: may(comparisonShape('air'), 'Compares the temperature of the air in the cabinet.'),
  pressure: may(comparisonShape('pressure'), 'Compares the pressure, as the instrument shows it.'),
  pH: may(comparisonShape('pH'), 'Compares the pH.'),
  humidity: may(comparisonShape('humidity'), 'Compares the relative humidity.'),
  power: may(comparisonShape('power'), 'Compares the electric power.'),
  date: may(
    body(
      record(
        { from: need(localDateTime, 'Local date and time from which on the condition is true.') },
        { called: 'the date', example: '{ from: 2026-12-01T18:00 }' },
      ),
      ({ values }) => ({ kind: 'calendar', from: values.from ?? { text: '', local_s: 0 } }),
    ),
    'True from this local date and time on.',
  ),
  'time of day': may(
    body(
      record(
        {
          from: need(timeOfDay, 'Local time of day at which it begins.'),
          to: need(timeOfDay, 'Local time of day at which it ends; before `from`: on the next day.'),
        },
        { called: 'the time of day', example: '{ from: "08:00", to: "22:00" }' },
      ),
      ({ values }) => ({ kind: 'time of day', from_s: values.from ?? 0, to_s: values.to ?? 0 }),
    ),
    'True between these local times, each day.',
  ),
  done: may(
    body(taskName, task => ({ kind: 'done', task })),
    'True when the brewer has answered this task, in whatever stage it was given.',
  ),
}

const lasting: Field<number> = may(
  quantity('duration'),
  'How long the condition must have been true without a break.',
  'no time at all',
)

function readCondition(node: SourceNode, reading: Reading): Condition | undefined {
  const mapping = expectMapping(node, reading, OPTIONS)
  if (mapping === undefined) return undefined
  let lasting_s = 0
  const conditions: { entry: SourceEntry; bodies: readonly ConditionBody[] | undefined }[] = []
  let faulty = false
  for (const entry of mapping.entries) {
    const key = normalKey(entry.key)
    if (key === 'lasting') {
      lasting_s = lasting.shape.read(entry.value, reading) ?? 0
    } else if (Object.hasOwn(CONDITION_FIELDS, key)) {
      conditions.push({ entry, bodies: CONDITION_FIELDS[key]!.shape.read(entry.value, reading) })
    } else {
      reportUnknownKey(entry, [...Object.keys(CONDITION_FIELDS), 'lasting'], OPTIONS, reading)
      faulty = true
    }
  }
  const [only, second] = conditions
  if (second !== undefined) {
    reading.report(
      'conflicting-keys',
      second.entry.keyPlace,
      `A condition has one key, but here “${second.entry.key}” follows “${only!.entry.key}”.`,
      `Write all: [ { ${only!.entry.key}: … }, { ${second.entry.key}: … } ] if both must be true, or any: […].`,
    )
    return undefined
  }
  if (only === undefined) {
    if (!faulty) {
      reading.report(
        'missing-key',
        mapping.place,
        'Here a condition is missing.',
        `Write it like ${EXAMPLE}.`,
      )
    }
    return undefined
  }
  return only.bodies === undefined ? undefined : withDwell(only.bodies, lasting_s, mapping.place)
}

function withDwell(bodies: readonly ConditionBody[], lasting_s: number, place: Place): Condition | undefined {
  const [first, second] = bodies
  if (first === undefined) return undefined
  if (second === undefined) return { ...first, lasting_s, place }
  return { kind: 'all', of: bodies.map(part => ({ ...part, lasting_s: 0, place })), lasting_s, place }
}

/** What `#/$defs/condition` stands for. */
export function conditionSchema(): JsonSchema {
  const keys = Object.entries(CONDITION_FIELDS)
  return {
    type: 'object',
    description: 'A condition: true, false or unknown. Exactly one key, and perhaps `lasting`.',
    properties: Object.fromEntries(
      [...keys, ['lasting', lasting] as const].map(([key, field]) => [key, describedSchema(field)]),
    ),
    oneOf: keys.map(([key]) => ({ required: [key] })),
    additionalProperties: false,
  }
}
