import type { RiskCode } from './result.ts'

/** What a kind of harm is, when it counts, and how bad it is. */
export interface RiskKind {
  readonly code: RiskCode
  /** One plain sentence, said of the runs that suffer it. */
  readonly message: string
  readonly unit: string
  /** Extents up to this are not worth a word. */
  readonly counts: number
  /** Harm of the smallest extent that counts, 0 to 1... */
  readonly least: number
  /** ...and the extent at which it has grown to `most`. */
  readonly scale: number
  readonly most: number
  /** Its model is an order of magnitude at best: it is told, but never leads a sentence. */
  readonly weaklyFounded?: true
}

/**
 * The kinds of harm, in the order in which ties are listed. How bad each is, is judgement (common practice, no source);
 * thresholds with a source name it.
 */
export const RISKS: readonly RiskKind[] = [
  {
    code: 'freezing',
    message: 'The beer gets colder than its freezing point.',
    unit: 'K',
    counts: 0,
    least: 0.6,
    scale: 2,
    most: 1,
  },
  {
    code: 'final-gravity-not-reached',
    message: 'The plan ends before the final gravity is reached: packaged like this it would over-carbonate.',
    unit: 'points',
    // A point is about what a hydrometer shows; each further one adds half a volume of CO2 in the bottle (derived from Balling's yields).
    counts: 2,
    least: 0.5,
    scale: 8,
    most: 1,
  },
  {
    code: 'chilled-early',
    message: 'The beer is chilled while it still ferments, and may stall.',
    unit: 'points',
    counts: 2,
    least: 0.4,
    scale: 15,
    most: 0.9,
  },
  {
    code: 'never-leaves-stage',
    message: 'The plan does not come to its end within the simulated time.',
    unit: 'h',
    counts: 0,
    least: 0.5,
    scale: 500,
    most: 0.8,
  },
  {
    code: 'limit-broken',
    message: "The beer leaves the plan's limits.",
    unit: 'K',
    counts: 0.3,
    least: 0.3,
    scale: 6,
    most: 1,
  },
  {
    code: 'too-warm',
    message: 'The beer ferments warmer than the yeast likes.',
    unit: 'K·h',
    counts: 3,
    least: 0.1,
    scale: 100,
    most: 0.9,
  },
  {
    code: 'diacetyl',
    message:
      'Diacetyl and its precursor are still above the taste threshold when the beer is chilled or the plan ends.',
    unit: 'mg/L',
    // The threshold is that of the class of yeast (world/fermentation/yeast-classes.ts).
    counts: 0.1,
    weaklyFounded: true,
    least: 0.2,
    scale: 1,
    most: 0.6,
  },
  {
    code: 'temperature-unknown',
    message: "Nothing that measures the beer's temperature is believed, so nothing heats or cools.",
    unit: 'h',
    counts: 0.25,
    least: 0.2,
    scale: 48,
    most: 0.7,
  },
  {
    code: 'no-response',
    message: 'An appliance is stopped because the temperature does not answer to it.',
    unit: 'times',
    counts: 0,
    least: 0.3,
    scale: 5,
    most: 0.6,
  },
  {
    code: 'too-cold',
    message: 'The beer ferments colder than the yeast likes.',
    unit: 'K·h',
    counts: 6,
    least: 0.05,
    scale: 200,
    most: 0.5,
  },
  {
    code: 'target-not-followed',
    message: 'The vessel can not follow the target.',
    unit: 'h',
    counts: 12,
    least: 0.1,
    scale: 100,
    most: 0.4,
  },
  {
    code: 'waits-for-brewer',
    message: 'The batch waits for an answer of the brewer.',
    unit: 'h',
    counts: 12,
    least: 0.05,
    scale: 96,
    most: 0.3,
  },
  {
    code: 'instruments-disagree',
    message: 'Two instruments for the same quantity contradict each other.',
    unit: 'h',
    counts: 0.5,
    least: 0.05,
    scale: 100,
    most: 0.25,
  },
  {
    code: 'short-cycling',
    message: 'The compressor starts too often.',
    unit: 'starts in one hour',
    // At most 6 to 10 starts an hour (common practice, no source).
    counts: 6,
    least: 0.1,
    scale: 12,
    most: 0.3,
  },
  {
    code: 'heater-fights-cooler',
    message: 'Heater and cooler work against each other.',
    unit: 'changes a day',
    counts: 4,
    least: 0.05,
    scale: 24,
    most: 0.2,
  },
]

/** How bad an extent of this kind is, 0 to 1. */
export function harmOf(kind: RiskKind, extent: number): number {
  const share = Math.min(1, Math.max(0, (extent - kind.counts) / kind.scale))
  return kind.least + (kind.most - kind.least) * share
}
