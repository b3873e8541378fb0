import { cascadeWithoutAir } from '../../rules/cascade-without-air.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const CASCADE = change(VESSEL, ['method: on-off', 'method: cascade'])

provesRule(
  cascadeWithoutAir,
  [{ because: 'only the beer is measured', vessel: CASCADE, marks: ['warning: vessel: Pantry fridge'] }],
  [
    {
      because: 'a second thermometer for the air',
      vessel: change(CASCADE, [
        'control:',
        '  - instrument: Air probe\n    every: 5 s\n    measures:\n      air: { noise: 0.02 °C, lag: 20 s }\ncontrol:',
      ]),
    },
    { because: 'it is no cascade' },
    { because: 'a thermostat does its own switching', vessel: withThermostat('{ follows: air }', CASCADE) },
  ],
)
