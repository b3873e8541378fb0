import { FALSE, TRUE, type Truth } from '../engine/kleene.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatDifference, formatGravity, formatTemperature, spellDuration } from '../units/format.ts'
import type { FloatBounds } from './float-bounds.ts'
import type { FloatJudgement, FloatReadings } from './float-in-wort.ts'

/** One sign that a float is in the wort, in three values, with a plain sentence. */
export interface FloatSign {
  readonly sign: 'temperature' | 'gravity' | 'steady'
  readonly truth: Truth
  readonly sentence: string
}

/** What the judgement of a float rests on, sign by sign. */
export function sayFloatSigns(
  judgement: FloatJudgement,
  readings: FloatReadings,
  bounds: FloatBounds,
  units: DisplayUnits,
): readonly FloatSign[] {
  return [
    {
      sign: 'temperature',
      truth: judgement.temperature,
      sentence: sayWarmth(judgement, readings, bounds, units),
    },
    { sign: 'gravity', truth: judgement.gravity, sentence: sayGravity(judgement, readings, bounds, units) },
    { sign: 'steady', truth: judgement.steady, sentence: saySteadiness(judgement, bounds) },
  ]
}

/** All of it in one sentence: that the float is in the wort, or the first thing that speaks against it. */
export function sayFloat(
  judgement: FloatJudgement,
  readings: FloatReadings,
  bounds: FloatBounds,
  units: DisplayUnits,
): string {
  const { float, probe } = bounds
  if (judgement.inWort === TRUE) {
    const gravity = formatGravity(judgement.mean_SG!, units)
    return `${float} is in the wort: as warm as ${probe}, and steady at ${gravity}.`
  }
  const signs = sayFloatSigns(judgement, readings, bounds, units)
  const against = signs.find(({ truth }) => truth === FALSE)
  if (against !== undefined) return `${float} does not seem to be in the wort. ${against.sentence}`
  const open = signs.find(({ truth }) => truth !== TRUE)!
  const isForGood = bounds.temperatureChannel < 0 || bounds.probeChannel < 0
  return `Whether ${float} is in the wort can not be told${isForGood ? '' : ' yet'}. ${open.sentence}`
}

function sayWarmth(
  { temperature }: FloatJudgement,
  { float_C, beer_C }: FloatReadings,
  bounds: FloatBounds,
  units: DisplayUnits,
): string {
  const { float, probe } = bounds
  if (bounds.temperatureChannel < 0) return `${float} has no thermometer of its own.`
  if (bounds.probeChannel < 0) return `No other thermometer is in the beer to compare ${float} with.`
  if (float_C === null) return `${float} has given no temperature lately.`
  if (beer_C === null) return `${probe} has given no temperature lately.`
  const both = `${float} reads ${formatTemperature(float_C, units)} and ${probe} ${formatTemperature(beer_C, units)}`
  const allowed = formatDifference(bounds.apart_K, units)
  return temperature === TRUE
    ? `${both}: they agree.`
    : `${both}: in the same wort they would differ by ${allowed} at most.`
}

function sayGravity(
  { gravity }: FloatJudgement,
  { gravities }: FloatReadings,
  { float, expected_SG, near_SG }: FloatBounds,
  units: DisplayUnits,
): string {
  const latest = gravities.at(-1)
  if (latest === undefined) return `${float} has given no gravity lately.`
  const reads = `${float} reads ${formatGravity(latest[1], units)}`
  if (expected_SG === null) return `${reads}; which beer it is to be has not been said yet.`
  const expected = formatGravity(expected_SG, units)
  if (gravity === TRUE) return `${reads}, near the ${expected} that the beer is expected to begin with.`
  const from = formatGravity(expected_SG - near_SG, units)
  const to = formatGravity(expected_SG + near_SG, units)
  return `${reads}; this wort, expected at ${expected}, would read from ${from} to ${to}.`
}

function saySteadiness({ steady, readings }: FloatJudgement, bounds: FloatBounds): string {
  const { float, steadyFor_s, leastReadings } = bounds
  const long = spellDuration(steadyFor_s)
  if (steady === TRUE) return `Its gravity has been steady for ${long}, in ${readings} readings.`
  if (steady === FALSE) return `The gravity of ${float} has moved within ${long}: it has not settled.`
  const so = readings === 0 ? 'there are none' : `there ${readings === 1 ? 'is' : 'are'} ${readings}`
  return `At least ${leastReadings} readings of ${float} over ${long} are needed; so far ${so}.`
}
