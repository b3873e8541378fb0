import { inCharge } from '../context.ts'
import type { Rule } from '../rule.ts'

export const changeoverShorterThanLag: Rule = {
  code: 'changeover-shorter-than-lag',
  severity: 'warning',
  title:
    'A changeover delay between heating and cooling that is shorter than the lag of the thermometer in charge.',
  why: 'The cooler would be started against heat that the thermometer has not even shown yet.',
  check: ({ vessel, say }) => {
    const isSwitched = vessel?.heater && vessel.cooler && !vessel.thermostat
    const beer = isSwitched ? inCharge(vessel, 'beer') : null
    if (!vessel || !beer || vessel.interlocks.changeover_s >= beer.channel.lag_s) return []
    return [
      {
        file: 'vessel',
        place: vessel.place,
        message: `The changeover between heating and cooling takes ${say.time(vessel.interlocks.changeover_s)}, but the ${beer.instrument.name} lags by ${say.time(beer.channel.lag_s)}.`,
        cure: `Make the changeover at least ${say.time(beer.channel.lag_s)}; three times that is better.`,
      },
    ]
  },
}
