import { windowShorterThanRest } from '../../rules/window-shorter-than-rest.ts'
import { change, PLAN, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const own = (control: string) => change(PLAN, ['hold: 18 °C', `hold: 18 °C\n    control: ${control}`])

provesRule(
  windowShorterThanRest,
  [
    {
      because: '60 s against 3 min of running and 5 min of resting',
      plan: own('{ method: proportional, window: 60 s }'),
      marks: ['warning: control: { method: proportional, window: 60 s }'],
    },
  ],
  [
    { because: '8 min', plan: own('{ method: proportional, window: 8 min }') },
    { because: 'switched on and off, the window is not used', plan: own('{ window: 60 s }') },
    {
      because: 'there is no cooler',
      plan: own('{ method: proportional, window: 60 s }'),
      vessel: VESSEL.replace(/cooler:[\s\S]*?instruments:/, 'instruments:'),
    },
    {
      because: 'a thermostat does its own switching',
      plan: own('{ method: proportional, window: 60 s }'),
      vessel: withThermostat('{}'),
    },
  ],
)
