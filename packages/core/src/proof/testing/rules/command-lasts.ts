import { commandLasts } from '../../rules/command-lasts.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const lasting = (time: string) => change(VESSEL, ['command lasts: 15 min', `command lasts: ${time}`])

provesRule(
  commandLasts,
  [
    {
      because: 'shorter than the least run of 3 min',
      vessel: lasting('2 min'),
      marks: ['warning: power: 120 W'],
    },
    {
      because: 'a strong heater for 15 min',
      vessel: change(VESSEL, ['power: 40 W', 'power: 400 W'], ['to wall: 3 W/°C', 'to wall: 60 W/°C']),
      marks: ['warning: power: 400 W'],
    },
  ],
  [
    { because: 'just the least run', vessel: lasting('3 min') },
    {
      because: 'the same heater for 5 min',
      vessel: change(
        lasting('5 min'),
        ['power: 40 W', 'power: 400 W'],
        ['to wall: 3 W/°C', 'to wall: 60 W/°C'],
      ),
    },
    { because: 'a thermostat does its own switching', vessel: withThermostat('{}', lasting('2 min')) },
  ],
)
