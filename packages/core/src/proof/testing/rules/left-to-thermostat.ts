import { leftToThermostat } from '../../rules/left-to-thermostat.ts'
import { change, PLAN, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const own = (control: string) => change(PLAN, ['hold: 18 °C', `hold: 18 °C\n    control: ${control}`])
const NOTE = 'note: thermostat: {}'

provesRule(
  leftToThermostat,
  [
    { because: 'a vessel with a thermostat', vessel: withThermostat('{}'), marks: [NOTE] },
    {
      because: 'a stage that would proportion',
      plan: own('{ method: proportional }'),
      vessel: withThermostat('{}'),
      marks: ['warning: control: { method: proportional }', NOTE],
    },
    {
      because: 'a cascade over a thermostat that keeps the beer itself',
      plan: own('{ method: cascade }'),
      vessel: withThermostat('{}'),
      marks: ['warning: control: { method: cascade }', NOTE],
    },
    {
      because: 'a boil',
      plan: 'plan: Boil\nside: hot side\nstages:\n  - stage: Boil\n    boil: true\n    until: { stage lasted: 1 h }\n',
      vessel: withThermostat('{}'),
      beer: null,
      marks: ['warning: boil: true', NOTE],
    },
    {
      because: 'a cascade over a thermostat that keeps the air is what is meant',
      plan: own('{ method: cascade }'),
      vessel: withThermostat('{ follows: air }'),
      marks: ['note: thermostat: { follows: air }'],
    },
  ],
  [{ because: 'heater and cooler are switched by the engine' }],
)
