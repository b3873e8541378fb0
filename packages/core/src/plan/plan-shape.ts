import { list } from '../source-text/list.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, name } from '../source-text/value-shapes.ts'
import { controlShape } from './control-shape.ts'
import type { Limits, Plan } from './plan.ts'
import { stageShape } from './stage-shape.ts'
import { beerTemperature } from './temperature-shape.ts'

const MOST_STAGES = 200

const limitsRecord = record(
  {
    lowest: may(beerTemperature, 'The beer must never be colder than this, and nothing cools below it.'),
    highest: may(beerTemperature, 'The beer must never be warmer than this, and nothing heats above it.'),
    'if broken': may(
      choice('alarm', 'hold', 'switch off'),
      'alarm: say so, and keep controlling; hold: also stop moving through the stages; switch off: also switch everything off.',
      'alarm',
    ),
  },
  {
    called: 'the limits',
    example: '{ lowest: 0 °C, highest: 24 °C }',
    otherWords: { min: 'lowest', max: 'highest', minimum: 'lowest', maximum: 'highest' },
  },
)

const limitsShape: Shape<Limits> = {
  schema: limitsRecord.schema,
  read: (node, reading) => {
    const read = limitsRecord.read(node, reading)
    if (read === undefined) return undefined
    const { lowest, highest, 'if broken': ifBroken = 'alarm' } = read.values
    if (lowest !== undefined && highest !== undefined && lowest >= highest) {
      reading.report(
        'reversed-range',
        read.valuePlaces.lowest!,
        'The lowest limit is not below the highest.',
        'Exchange the two, or correct one of them.',
      )
    }
    return {
      ...(lowest === undefined ? {} : { lowest_C: lowest }),
      ...(highest === undefined ? {} : { highest_C: highest }),
      ifBroken,
      place: read.place,
    }
  },
}

const planFields = {
  plan: need(name, 'The name of the plan.'),
  side: may(
    choice('fermentation', 'hot side'),
    'A hot-side plan (mash, boil) has no yeast; times since pitch then count from the start.',
    'fermentation',
  ),
  limits: may(
    limitsShape,
    'The temperatures that the beer must never leave, whatever a stage says.',
    'no limits',
  ),
  control: may(controlShape, "Control settings for every stage; they override the vessel's."),
  stages: need(
    list(stageShape, {
      called: 'stages',
      example: '- stage: Primary, with its course, for example hold: 18 °C, on the next line',
      least: 1,
      most: MOST_STAGES,
    }),
    'The stages, in the order in which they follow each other.',
  ),
}

const planRecord = record(planFields, {
  called: 'a plan',
  example: 'plan: Amber ale, then stages: with a list of stages',
  otherWords: {
    name: 'plan',
    title: 'plan',
    steps: 'stages',
    profile: 'stages',
    schedule: 'stages',
    stage: 'stages',
  },
})

export const planShape: Shape<Plan> = {
  schema: planRecord.schema,
  read: (node, reading) => {
    const read = planRecord.read(node, reading)
    return read === undefined ? undefined : planFrom(read)
  },
}

function planFrom({ values, place }: ReadRecord<typeof planFields>): Plan {
  return {
    name: values.plan ?? '',
    side: values.side ?? 'fermentation',
    limits: values.limits ?? { ifBroken: 'alarm', place },
    control: values.control ?? {},
    stages: values.stages ?? [],
    place,
  }
}
