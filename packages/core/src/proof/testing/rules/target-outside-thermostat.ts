import { targetOutsideThermostat } from '../../rules/target-outside-thermostat.ts'
import { withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  targetOutsideThermostat,
  [
    {
      because: '20 °C are too warm for it',
      vessel: withThermostat('{ highest: 19.5 °C }'),
      marks: ['warning: ramp: { to: 20 °C, over: 3 d }'],
    },
    {
      because: '4 °C are too cold for it',
      vessel: withThermostat('{ lowest: 5 °C }'),
      marks: ['warning: ramp: { to: 4 °C, at: 5 °C/d }'],
    },
  ],
  [
    { because: 'just within its range', vessel: withThermostat('{ lowest: 4 °C, highest: 20 °C }') },
    { because: 'there is no thermostat' },
  ],
)
