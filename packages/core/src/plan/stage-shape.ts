import type { Place } from '../place.ts'
import { list } from '../source-text/list.ts'
import type { Reading } from '../source-text/reading.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, flag, newName, quantity } from '../source-text/value-shapes.ts'
import { askingShape } from './asking-shape.ts'
import { conditionShape } from './condition-shape.ts'
import { controlShape } from './control-shape.ts'
import { COURSE_FIELDS } from './course-shapes.ts'
import { destinationShape, FINISH } from './destination-shape.ts'
import type { Branch, Condition, Course, LateResponse, Stage, Task, UnknownResponse } from './plan.ts'

const goTo = record(
  { 'go to': need(destinationShape, 'The stage to go to, or `finish`.') },
  { called: 'what happens then', example: '{ go to: Crash }' },
)
const lateWords = choice('ask', 'go on', 'hold')

const lateShape: Shape<LateResponse> = {
  schema: { anyOf: [lateWords.schema, goTo.schema] },
  read: (node, reading) => {
    if (node.kind === 'mapping') {
      const destination = goTo.read(node, reading)?.values['go to']
      return destination === undefined ? undefined : { kind: 'go to', destination }
    }
    const kind = lateWords.read(node, reading)
    return kind === undefined ? undefined : { kind }
  },
}

const unknownRecord = record(
  {
    wait: need(quantity('duration'), 'How long the condition may be unknown without a break.'),
    then: may(
      choice('ask', 'hold'),
      'ask the brewer; or hold: stay, keep the temperature and raise an alarm.',
      'ask',
    ),
    use: may(conditionShape, 'This condition decides instead, as long as the other one stays unknown.'),
  },
  {
    called: 'what to do while unknown',
    example: '{ wait: 12 h, then: ask }',
    otherWords: { for: 'wait', after: 'wait' },
  },
)

const unknownShape: Shape<UnknownResponse> = {
  schema: unknownRecord.schema,
  read: (node, reading) => {
    const read = unknownRecord.read(node, reading)
    if (read === undefined) return undefined
    const { values, keyPlaces, place } = read
    if (keyPlaces.use !== undefined && keyPlaces.then !== undefined) {
      reading.report(
        'conflicting-keys',
        keyPlaces.use,
        '`use` and `then` exclude each other.',
        'Leave one of the two out.',
      )
    }
    const wait_s = values.wait ?? 0
    if (values.use !== undefined) return { wait_s, then: { kind: 'use', instead: values.use }, place }
    return { wait_s, then: { kind: values.then ?? 'ask' }, place }
  },
}

const branchRecord = record(
  {
    when: need(conditionShape, 'Leads out of the stage when it becomes true.'),
    'go to': need(destinationShape, 'The stage to go to, or `finish`.'),
    'ask first': may(askingShape, 'true: the brewer is asked first; a text: with these words.', 'false'),
  },
  {
    called: 'a branch',
    example: '{ when: { gravity: { falls at most: 0.5 points/d } }, go to: Wake up }',
    otherWords: { if: 'when', until: 'when', then: 'go to' },
  },
)

const branchShape: Shape<Branch> = {
  schema: branchRecord.schema,
  read: (node, reading) => {
    const read = branchRecord.read(node, reading)
    if (read?.values.when === undefined || read.values['go to'] === undefined) return undefined
    const { when, 'go to': destination, 'ask first': asking } = read.values
    return { when, destination, ...(asking ?? { askFirst: false }), place: read.place }
  },
}

const taskRecord = record(
  {
    task: need(newName('task'), 'What the brewer should do, in a few words.'),
    when: may(conditionShape, 'When it is to be done.', "at the stage's beginning"),
    wait: may(flag, 'true: the stage cannot be left before the brewer has answered.', 'false'),
  },
  {
    called: 'a task',
    example: '{ task: Add dry hops, wait: true }',
    otherWords: { if: 'when', at: 'when', name: 'task' },
  },
)

const taskShape: Shape<Task> = {
  schema: { anyOf: [newName('task').schema, taskRecord.schema] },
  read: (node, reading) => {
    if (node.kind === 'scalar') {
      const task = newName('task').read(node, reading)
      return task === undefined ? undefined : { name: task, wait: false, place: node.place }
    }
    const read = taskRecord.read(node, reading)
    if (read?.values.task === undefined) return undefined
    const { task, when, wait } = read.values
    return {
      name: task,
      wait: wait ?? false,
      ...(when === undefined ? {} : { when }),
      place: read.valuePlaces.task ?? read.place,
    }
  },
}

const stageFields = {
  stage: need(newName('stage'), 'The name of the stage.'),
  ...COURSE_FIELDS,
  until: may(
    conditionShape,
    'Moves the batch on when it becomes true.',
    'the stage ends by a branch or its longest time',
  ),
  then: may(destinationShape, 'The stage that follows, or `finish`.', 'the next one in the list'),
  'ask first': may(
    askingShape,
    'true: the brewer is asked before the batch moves on; a text: with these words.',
    'false',
  ),
  'at most': may(
    quantity('duration', { least: 0, above: true }),
    'The longest time in the stage.',
    'no limit',
  ),
  'if late': may(
    lateShape,
    'What happens after the longest time: ask the brewer; go on; hold (stay and raise an alarm); or go to another stage.',
    'ask',
  ),
  'if unknown': may(
    unknownShape,
    'What happens when `until` has been unknown for some time, because an instrument is silent.',
    'the batch waits',
  ),
  branches: may(
    list(branchShape, {
      called: 'branches',
      example: '[ { when: { since pitch: 20 d }, go to: finish } ]',
      most: 50,
    }),
    'Further ways out of the stage; looked at in order, before `until`.',
  ),
  tasks: may(
    list(taskShape, { called: 'tasks', example: '[ Add dry hops ]', most: 50 }),
    'What the brewer is told to do.',
  ),
  control: may(
    controlShape,
    'Control settings of this stage; they override those of the plan and of the vessel.',
  ),
}

const stageRecord = record(stageFields, {
  called: 'a stage',
  example: '{ stage: Primary, hold: 18 °C, until: { stage lasted: 10 d } }',
  otherWords: {
    name: 'stage',
    step: 'stage',
    target: 'hold',
    temperature: 'hold',
    'go to': 'then',
    next: 'then',
    when: 'until',
    end: 'until',
    ask: 'ask first',
    'free-rise': 'free rise',
    timeout: 'at most',
    task: 'tasks',
    branch: 'branches',
  },
})

/** One stage of a plan. */
export const stageShape: Shape<Stage> = {
  schema: {
    ...stageRecord.schema,
    oneOf: Object.keys(COURSE_FIELDS).map(key => ({ required: [key] })),
  },
  read: (node, reading) => {
    const read = stageRecord.read(node, reading)
    return read === undefined ? undefined : stageFrom(read, reading)
  },
}

const NO_COURSE: Course = { kind: 'leave alone' }

function stageFrom(read: ReadRecord<typeof stageFields>, reading: Reading): Stage {
  const { values, valuePlaces, place } = read
  checkName(values.stage, valuePlaces.stage, reading)
  checkLate(read, reading)
  const course = findCourse(read, reading)
  const until: Condition | undefined = values.until
  return {
    name: values.stage ?? '',
    course: course.course,
    next: values.then ?? { kind: 'following' },
    ...(values['ask first'] ?? { askFirst: false }),
    ifLate: values['if late'] ?? { kind: 'ask' },
    branches: values.branches ?? [],
    tasks: values.tasks ?? [],
    control: values.control ?? {},
    place,
    places: {
      course: course.place,
      name: valuePlaces.stage ?? place,
      ...(valuePlaces['at most'] === undefined ? {} : { atMost: valuePlaces['at most'] }),
      ...(valuePlaces.control === undefined ? {} : { control: valuePlaces.control }),
    },
    ...(until === undefined ? {} : { until }),
    ...(values['at most'] === undefined ? {} : { atMost_s: values['at most'] }),
    ...(values['if unknown'] === undefined ? {} : { ifUnknown: values['if unknown'] }),
  }
}

function checkName(stage: string | undefined, place: Place | undefined, reading: Reading) {
  if (stage !== FINISH || place === undefined) return
  reading.report(
    'bad-name',
    place,
    `“${FINISH}” is the end of the plan, so that no stage can have this name.`,
    'Choose another name, for example Last.',
  )
}

/** A batch that waits for nothing is not wrong, but the brewer has probably forgotten something. */
function checkLate({ keyPlaces }: ReadRecord<typeof stageFields>, reading: Reading) {
  const late = keyPlaces['if late']
  if (late !== undefined && keyPlaces['at most'] === undefined) {
    reading.report(
      'no-effect',
      late,
      '“if late” has no effect, because the stage has no longest time.',
      'Add “at most:”, as in at most: 10 d.',
      'warning',
    )
  }
  const unknown = keyPlaces['if unknown']
  if (unknown !== undefined && keyPlaces.until === undefined) {
    reading.report(
      'no-effect',
      unknown,
      '“if unknown” has no effect, because the stage has no “until”.',
      'Add “until:”, or leave “if unknown” out.',
      'warning',
    )
  }
}

function findCourse(read: ReadRecord<typeof stageFields>, reading: Reading) {
  const { values, keyPlaces, valuePlaces, place } = read
  const keys = (Object.keys(COURSE_FIELDS) as (keyof typeof COURSE_FIELDS)[])
    .filter(key => keyPlaces[key] !== undefined)
    .toSorted((a, b) => keyPlaces[a]!.offset - keyPlaces[b]!.offset)
  const [key, second] = keys
  if (key === undefined) {
    reading.report(
      'missing-key',
      valuePlaces.stage ?? place,
      'It is not said what the temperature should do in this stage.',
      `Add one of: ${Object.keys(COURSE_FIELDS).join(', ')}; for example hold: 18 °C.`,
    )
    return { course: NO_COURSE, place }
  }
  if (second !== undefined) {
    reading.report(
      'conflicting-keys',
      keyPlaces[second]!,
      `A stage does one thing with the temperature, but here “${second}” follows “${key}”.`,
      'Leave one of the two out, or make two stages of it.',
    )
  }
  const from = keyPlaces[key]!.offset
  const value = valuePlaces[key]!
  return {
    course: values[key] ?? NO_COURSE,
    place: reading.placeAt(from, value.offset + value.length - from),
  }
}
