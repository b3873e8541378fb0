import { FLOAT_COUNTS_FOR_S } from '../../engine/original-gravity.ts'
import { floatBounds } from '../../readiness/float-bounds.ts'
import { formatDuration } from '../../units/format.ts'
import type { Rule } from '../rule.ts'

export const originalGravityWithoutFloat: Rule = {
  code: 'original-gravity-without-float',
  severity: 'warning',
  title:
    'An original gravity that is to come from the float, where no float can be shown to be in the wort in time.',
  why: 'Attenuation would be counted from what the beer file says after all, however far off that is.',
  check: ({ vessel, beer }) => {
    if (!vessel || beer?.originalGravityFrom !== 'float') return []
    const obstacle = obstacleIn(floatBounds(vessel, beer))
    if (obstacle === null) return []
    return [
      {
        file: 'beer',
        place: beer.place,
        message: `The original gravity can not come from the float: ${obstacle}.`,
        cure: 'Say original gravity from: hand, and enter what you have measured with “attemper gravity --original”.',
      },
    ]
  },
}

function obstacleIn(bounds: ReturnType<typeof floatBounds>): string | null {
  if (bounds === null) return 'no instrument of the vessel reports the gravity by itself'
  const { float, temperatureChannel, probeChannel, leastReadings, steadyFor_s } = bounds
  if (temperatureChannel < 0) return `${float} has no thermometer that could be compared with the beer's`
  if (probeChannel < 0) return `no other thermometer is in the beer to compare ${float} with`
  // The first of them may come a whole interval after pitching.
  const needed_s = (steadyFor_s * leastReadings) / (leastReadings - 1)
  if (needed_s <= FLOAT_COUNTS_FOR_S) return null
  const [needed, counted] = [formatDuration(needed_s), formatDuration(FLOAT_COUNTS_FOR_S)]
  return `${leastReadings} readings of ${float} may take ${needed}, and only those of the first ${counted} after pitching count`
}
