import type { Reading } from '../source-text/reading.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import {
  choice,
  flag,
  localDateTime,
  name,
  quantity,
  timeOfDay,
  uncertain,
} from '../source-text/value-shapes.ts'
import { parseLocalDateTime } from '../units/local-time.ts'
import type { Uncertain } from '../vessel/vessel.ts'
import type { Beer, BrewerHabits, Yeast } from './beer.ts'
import { yeastShape } from './yeast-shape.ts'

/** A Monday, so that weekends fall late in the first week. */
const USUAL_START = '2024-01-01T18:00'

const brewerRecord = record(
  {
    'answers within': may(
      quantity('duration'),
      'Median time until a question is answered, while awake and at home.',
      '3 h (common practice, no source)',
    ),
    asleep: may(
      record(
        {
          from: need(timeOfDay, 'Local time of going to bed.'),
          to: need(timeOfDay, 'Local time of getting up; the same as `from`: never asleep.'),
        },
        { called: 'the hours of sleep', example: '{ from: "23:00", to: "07:00" }' },
      ),
      'Hours in which no question is answered.',
      'from 23:00 to 07:00 (common practice, no source)',
    ),
    'away at weekends': may(flag, 'true: no question is answered on Saturdays and Sundays.', 'false'),
  },
  { called: 'the brewer', example: '{ answers within: 3 h, away at weekends: true }' },
)

const volume = quantity('volume', {
  least: 0.1,
  greatest: 100_000,
  said: 'Write a volume from 0.1 L to 1000 hL.',
})

const gravityBounds = {
  least: 0.98,
  greatest: 1.2,
  said: 'Write a specific gravity from 0.980 to 1.200, or °P.',
}

const beerFields = {
  beer: need(name, 'The name of the beer.'),
  volume: may(volume, 'How much there is. gal is the US gallon of 3.785 L.', "the vessel's usual amount"),
  'original gravity': need(
    uncertain('gravity', gravityBounds),
    'Specific gravity of the wort at 20 °C, such as 1.050, or extract, such as 12.4 °P. Water: 1.000. ± how well it is known.',
  ),
  'original gravity from': may(
    choice('hand', 'float'),
    'hand: it is what stands here, or what is entered by hand later. float: it is what the float reads soon after pitching, once it is demonstrably in the wort; until then, and if that never happens, what stands here.',
    'hand',
  ),
  'final gravity': may(
    uncertain('gravity', gravityBounds),
    'Expected final gravity; ± how well it is known; without ± as well as the attenuation of the yeast.',
    'from the middle of the attenuation of the yeast, ± half of its range; without yeast the original gravity',
  ),
  'starts at': may(
    uncertain('temperature', { least: -2, greatest: 105, said: 'Write a temperature from -2 °C to 105 °C.' }),
    'Temperature of the wort (or of the water) when the batch starts.',
    '20 °C ± 2 °C (common practice, no source)',
  ),
  start: may(
    localDateTime,
    'Local date and time of pitching; matters for dates in the plan, for nights and for weekends.',
    `${USUAL_START}, a Monday`,
  ),
  yeast: may(yeastShape, 'The yeast.', 'none, so that nothing ferments (water, or a mash)'),
  brewer: may(brewerRecord, 'When the brewer answers questions.'),
}

const beerRecord = record(beerFields, {
  called: 'a beer',
  example: 'beer: Amber ale, then original gravity: 1.050 and yeast: { class: ale }',
  otherWords: {
    name: 'beer',
    og: 'original gravity',
    fg: 'final gravity',
    'starting gravity': 'original gravity',
    amount: 'volume',
    pitched: 'start',
    date: 'start',
    temperature: 'starts at',
  },
})

export const beerShape: Shape<Beer> = {
  schema: beerRecord.schema,
  read: (node, reading) => {
    const read = beerRecord.read(node, reading)
    return read === undefined ? undefined : beerFrom(read, reading)
  },
}

function beerFrom(read: ReadRecord<typeof beerFields>, reading: Reading): Beer {
  const { values, valuePlaces, place } = read
  const { value: originalGravity, sd } = values['original gravity'] ?? { value: 1, sd: 0 }
  const finalGravity = expectedFinalGravity(values['final gravity'], originalGravity, values.yeast)
  if (values['original gravity'] !== undefined && finalGravity.value > originalGravity) {
    reading.report(
      'final-above-original',
      valuePlaces['final gravity'] ?? place,
      'The final gravity is above the original gravity.',
      'Exchange the two, or correct one of them.',
    )
  }
  return {
    name: values.beer ?? '',
    ...(values.volume === undefined ? {} : { volume_L: values.volume }),
    originalGravity,
    ...(sd > 0 ? { originalGravitySd_SG: sd } : {}),
    ...(values['original gravity from'] === undefined
      ? {}
      : { originalGravityFrom: values['original gravity from'] }),
    finalGravity,
    startsAt_C: values['starts at'] ?? { value: 20, sd: 2 },
    start: values.start ?? usualStart(),
    ...(values.yeast === undefined ? {} : { yeast: values.yeast }),
    brewer: habitsFrom(values.brewer?.values ?? {}),
    place,
  }
}

/**
 * Apparent attenuation is (OG - FG) / (OG - 1). Without a word the middle of the yeast's range; and whoever writes a final
 * gravity without ± does not know it better than that range.
 */
function expectedFinalGravity(
  written: Uncertain | undefined,
  originalGravity: number,
  yeast: Yeast | undefined,
): Uncertain {
  if (yeast === undefined) return written ?? { value: originalGravity, sd: 0 }
  if (written !== undefined && written.sd > 0) return written
  const { lowest, highest } = yeast.attenuation
  const points = originalGravity - 1
  return {
    value: written?.value ?? originalGravity - (points * (lowest + highest)) / 2,
    // A printed range holds about two beers in three: worts differ, and recipes miss their final gravity by more still.
    sd: Math.abs(points * (highest - lowest)) / 2,
  }
}

function usualStart(): Beer['start'] {
  const result = parseLocalDateTime(USUAL_START)
  return result.ok ? result.value : { text: USUAL_START, local_s: 0 }
}

type BrewerFields = typeof brewerRecord extends Shape<ReadRecord<infer F>> ? F : never

function habitsFrom(values: ReadRecord<BrewerFields>['values']): BrewerHabits {
  const asleep = values.asleep?.values ?? {}
  return {
    answersWithin_s: values['answers within'] ?? 3 * 3600,
    asleepFrom_s: asleep.from ?? 23 * 3600,
    asleepTo_s: asleep.to ?? 7 * 3600,
    awayAtWeekends: values['away at weekends'] ?? false,
  }
}
