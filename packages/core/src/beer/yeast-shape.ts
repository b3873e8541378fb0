import type { Reading } from '../source-text/reading.ts'
import { may, need, type ReadRecord, record } from '../source-text/record.ts'
import type { Shape } from '../source-text/shape.ts'
import { choice, name, quantity, uncertain } from '../source-text/value-shapes.ts'
import type { Yeast, YeastClass } from './beer.ts'

interface UsualYeast {
  readonly comfort_C: Yeast['comfort_C']
  readonly attenuation: Yeast['attenuation']
  readonly pitch: number
}

/**
 * Usual properties of the classes: common practice, no source.
 */
const USUAL: Readonly<Record<YeastClass, UsualYeast>> = {
  ale: { comfort_C: { lowest: 18, highest: 21 }, attenuation: { lowest: 0.7, highest: 0.8 }, pitch: 0.75 },
  lager: { comfort_C: { lowest: 7, highest: 13 }, attenuation: { lowest: 0.72, highest: 0.82 }, pitch: 1.5 },
  wheat: { comfort_C: { lowest: 17, highest: 24 }, attenuation: { lowest: 0.72, highest: 0.8 }, pitch: 0.75 },
  saison: {
    comfort_C: { lowest: 20, highest: 32 },
    attenuation: { lowest: 0.8, highest: 0.92 },
    pitch: 0.75,
  },
  kveik: {
    comfort_C: { lowest: 25, highest: 40 },
    attenuation: { lowest: 0.72, highest: 0.82 },
    pitch: 0.75,
  },
}

/**
 * Speed of a yeast that was never seen. Between houses the half-times of the recorded fermentations, historic and modern, differ
 * from those of the class with a standard deviation of the logarithm near 0.45; within one house by 0.15 to 0.2, which is
 * what a `vigour` of one's own says; waking and pitch, which it does not scale, make up the rest (docs/reference/fermentation-model.md).
 */
const UNKNOWN_VIGOUR = { value: 1, sd: 0.5 }

const temperature = quantity('temperature', {
  least: -2,
  greatest: 50,
  said: 'Write a temperature from -2 °C to 50 °C.',
})
const attenuation = quantity('share', { least: 0, greatest: 1.2, said: 'Write a share from 0 % to 120 %.' })

const yeastFields = {
  name: may(name, 'What it is called.', 'its class'),
  class: need(
    choice('ale', 'lager', 'wheat', 'saison', 'kveik'),
    'The sort of yeast, from which the speeds of its fermentation are taken.',
  ),
  comfort: may(
    record(
      {
        lowest: need(temperature, 'Coldest temperature at which it works well.'),
        highest: need(temperature, 'Warmest temperature at which it works well.'),
      },
      { called: 'the comfort of the yeast', example: '{ lowest: 17 °C, highest: 22 °C }' },
    ),
    'Temperatures at which it is known to work well.',
    'by class: ale 18 to 21 °C, lager 7 to 13 °C, wheat 17 to 24 °C, saison 20 to 32 °C, kveik 25 to 40 °C (common practice, no source)',
  ),
  attenuation: may(
    record(
      {
        lowest: need(attenuation, 'Least apparent attenuation.'),
        highest: need(attenuation, 'Greatest apparent attenuation.'),
      },
      { called: 'the attenuation', example: '{ lowest: 70 %, highest: 80 % }' },
    ),
    'Apparent attenuation that it is known to reach.',
    'by class: ale 70 to 80 %, lager 72 to 82 %, wheat 72 to 80 %, saison 80 to 92 %, kveik 72 to 82 % (common practice, no source)',
  ),
  pitch: may(
    quantity('number', {
      least: 0,
      greatest: 20,
      above: true,
      said: 'Write million cells per mL and °P, for example 0.75.',
    }),
    'How much yeast is pitched, in million cells per mL and °P.',
    'lager 1.5, others 0.75 (common practice, no source)',
  ),
  vigour: may(
    uncertain('number', { least: 0.05, greatest: 20, said: 'Write a factor, for example 1 ± 15 %.' }),
    'Factor on the speed of the fermentation, compared with its class; ± how well it is known.',
    '1 ± 50 %, for a yeast of which nothing is known: half-times then vary by 45 %, as records of different houses do',
  ),
}

const yeastRecord = record(yeastFields, {
  called: 'the yeast',
  example: '{ name: House ale yeast, class: ale }',
  otherWords: {
    yeast: 'name',
    sort: 'class',
    kind: 'class',
    type: 'class',
    range: 'comfort',
    temperature: 'comfort',
  },
})

export const yeastShape: Shape<Yeast> = {
  schema: yeastRecord.schema,
  read: (node, reading) => {
    const read = yeastRecord.read(node, reading)
    return read === undefined ? undefined : yeastFrom(read, reading)
  },
}

function yeastFrom({ values, valuePlaces, place }: ReadRecord<typeof yeastFields>, reading: Reading): Yeast {
  const yeastClass = values.class ?? 'ale'
  const usual = USUAL[yeastClass]
  for (const key of ['comfort', 'attenuation'] as const) {
    const { lowest, highest } = values[key]?.values ?? {}
    if (lowest === undefined || highest === undefined || lowest < highest) continue
    reading.report(
      'reversed-range',
      valuePlaces[key]!,
      'The lowest value is not below the highest.',
      'Exchange the two, or correct one of them.',
    )
  }
  const range = (key: 'comfort' | 'attenuation', otherwise: { lowest: number; highest: number }) => ({
    lowest: values[key]?.values.lowest ?? otherwise.lowest,
    highest: values[key]?.values.highest ?? otherwise.highest,
  })
  return {
    name: values.name ?? yeastClass,
    class: yeastClass,
    comfort_C: range('comfort', usual.comfort_C),
    attenuation: range('attenuation', usual.attenuation),
    pitch: values.pitch ?? usual.pitch,
    vigour: values.vigour ?? UNKNOWN_VIGOUR,
    place,
  }
}
