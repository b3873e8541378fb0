/** Errors of an instrument that measures gravity, as standard deviations, points unless their name says another unit. */
export interface InstrumentErrors {
  /** Of one reading, independent of the next one. */
  readonly noise_points: number
  /** Smallest step that it shows. */
  readonly resolution_points: number
  /** The same in each reading: bad calibration, temperature. */
  readonly bias_points: number
  /** Of the fall: 0.03 shows a fall of 40 points as 41 or 39. */
  readonly gain: number
  readonly drift_points_per_d: number
}

/** No error at all, to begin from. */
export const EXACT: InstrumentErrors = {
  noise_points: 0,
  resolution_points: 0,
  bias_points: 0,
  gain: 0,
  drift_points_per_d: 0,
}

/** What is drawn for each instrument beside the curve: where its bias, gain and drift stand, -1 for what it has not. */
export interface ErrorPlaces {
  readonly bias: number
  readonly gain: number
  readonly drift: number
}

export function errorPlaces(instruments: readonly InstrumentErrors[], from: number) {
  const extras_sd: number[] = []
  const place = (sd: number) => {
    if (sd <= 0) return -1
    extras_sd.push(sd)
    return from + extras_sd.length - 1
  }
  const places: ErrorPlaces[] = instruments.map(each => ({
    bias: place(each.bias_points),
    gain: place(each.gain),
    drift: place(each.drift_points_per_d),
  }))
  return { places, extras_sd }
}

/** Finest and coarsest noise that an instrument is given which nobody described, points. */
const NOISE_points = { least: 0.3, most: 1 }

/** An instrument of which nothing is known but the steps of its readings: half a step of noise. */
export function errorsFromSteps(points: readonly number[]): InstrumentErrors {
  const sorted = [...new Set(points.map(value => Math.round(value * 10) / 10))].sort((a, b) => a - b)
  let step = 2 * NOISE_points.most
  for (let i = 1; i < sorted.length; i++) step = Math.min(step, sorted[i]! - sorted[i - 1]!)
  return { ...EXACT, noise_points: Math.max(NOISE_points.least, step / 2) }
}
