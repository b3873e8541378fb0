import type { Rule } from '../rule.ts'

/** Common practice, no source: 3 to 5 min, until the pressures have come together again. */
const LEAST_REST_S = 180

export const compressorRestShort: Rule = {
  code: 'compressor-rest-short',
  severity: 'warning',
  title: 'A cooler that may start again less than 3 min after it stopped.',
  why: 'A compressor that starts against the pressure left from its last run stalls, overheats and wears out.',
  check: ({ vessel, say }) => {
    const cooler = vessel?.cooler
    // A coil or jacket that cools the beer itself is fed by a pump or valve, which needs no rest.
    if (!cooler || vessel.thermostat || !(cooler.toAir_W_per_K > 0) || cooler.restsAtLeast_s >= LEAST_REST_S)
      return []
    return [
      {
        file: 'vessel',
        place: cooler.place,
        message: `The cooler may start again ${say.time(cooler.restsAtLeast_s)} after it stopped; a compressor needs 3 to 5 min.`,
        cure: 'If it has a compressor, write `rests at least: 5 min`.',
      },
    ]
  },
}
