import { thermostatTooCoarse } from '../../rules/thermostat-too-coarse.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const WIDE = change(VESSEL, ['method: on-off,', 'method: on-off, reached within: 1 °C,'])

provesRule(
  thermostatTooCoarse,
  [
    {
      because: '0.6 °C against the usual 0.5 °C',
      vessel: withThermostat('{ hysteresis: 0.6 °C }'),
      marks: ['warning: vessel: Pantry fridge'],
    },
  ],
  [
    { because: 'just as wide', vessel: withThermostat('{ hysteresis: 0.5 °C }') },
    { because: 'the target counts as reached sooner', vessel: withThermostat('{ hysteresis: 1 °C }', WIDE) },
    {
      because: 'it keeps the air, of which the target says nothing',
      vessel: withThermostat('{ follows: air, hysteresis: 2 °C }'),
    },
    { because: 'there is no thermostat' },
  ],
)
