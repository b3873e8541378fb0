import { changeoverShorterThanLag } from '../../rules/changeover-shorter-than-lag.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const lagging = (lag: string) => change(VESSEL, ['lag: 60 s', `lag: ${lag}`])

provesRule(
  changeoverShorterThanLag,
  [
    {
      because: '11 min of lag against 10 min',
      vessel: lagging('11 min'),
      marks: ['warning: vessel: Pantry fridge'],
    },
  ],
  [
    { because: 'just as long', vessel: lagging('10 min') },
    { because: 'there is no heater', vessel: lagging('11 min').replace(/heater:[\s\S]*?cooler:/, 'cooler:') },
    { because: 'a thermostat does its own switching', vessel: withThermostat('{}', lagging('11 min')) },
  ],
)
