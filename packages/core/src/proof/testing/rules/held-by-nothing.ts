import { heldByNothing } from '../../rules/held-by-nothing.ts'
import { change, PLAN, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const CARELESS = change(PLAN, [
  'at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask',
  'at most: 4.5 °C } }',
])

provesRule(
  heldByNothing,
  [
    {
      because: 'only the temperature of the beer ends it',
      plan: CARELESS,
      marks: ['warning: until: { beer: { at most: 4.5 °C } }'],
    },
  ],
  [
    { because: 'it has a longest time' },
    {
      because: 'a second thermometer in the beer',
      plan: CARELESS,
      vessel: change(VESSEL, [
        'gravity: { noise: 0.5 points, resolution: 0.1 points }',
        'gravity: { noise: 0.5 points, resolution: 0.1 points }\n      beer: { noise: 0.1 °C, lag: 10 min }',
      ]),
    },
    { because: 'a thermostat does its own switching', plan: CARELESS, vessel: withThermostat('{}') },
  ],
)
