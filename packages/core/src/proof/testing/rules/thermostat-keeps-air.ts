import { thermostatKeepsAir } from '../../rules/thermostat-keeps-air.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const CASCADE = change(VESSEL, ['method: on-off', 'method: cascade'])

provesRule(
  thermostatKeepsAir,
  [
    {
      because: 'the target of the beer is that of the air',
      vessel: withThermostat('{ follows: air }'),
      marks: ['warning: vessel: Pantry fridge'],
    },
  ],
  [
    { because: 'a cascade', vessel: withThermostat('{ follows: air }', CASCADE) },
    { because: 'its thermometer is in the beer', vessel: withThermostat('{}') },
    { because: 'there is no thermostat' },
  ],
)
