import { bandsOverlap } from '../../rules/bands-overlap.ts'
import { change, PLAN, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const own = (control: string) => change(PLAN, ['hold: 18 °C', `hold: 18 °C\n    control: ${control}`])

provesRule(
  bandsOverlap,
  [
    {
      because: 'the heater goes on to 0.3 °C above the target, where the cooler starts',
      plan: own('{ heat: { start: 0.3 °C, stop: -0.3 °C } }'),
      marks: ['error: control: { heat: { start: 0.3 °C, stop: -0.3 °C } }'],
    },
    {
      because: 'the cooler goes on to 0.4 °C below the target, where the heater starts',
      plan: own('{ cool: { start: 0.3 °C, stop: -0.4 °C } }'),
      marks: ['error: control: { cool: { start: 0.3 °C, stop: -0.4 °C } }'],
    },
    {
      because: '0.1 °C are left, six times the noise of 0.02 °C are 0.12 °C',
      plan: own('{ heat: { start: 0.3 °C, stop: -0.2 °C } }'),
      marks: ['warning: control: { heat: { start: 0.3 °C, stop: -0.2 °C } }'],
    },
  ],
  [
    {
      because: 'a thermostat does its own switching',
      plan: own('{ heat: { start: 0.3 °C, stop: -0.3 °C } }'),
      vessel: withThermostat('{}'),
    },
    { because: '0.15 °C are left', plan: own('{ heat: { start: 0.3 °C, stop: -0.15 °C } }') },
    {
      because: 'in a cascade the heater is switched by the beer, the cooler by the air',
      plan: own('{ method: cascade, heat: { start: 0.3 °C, stop: -0.3 °C } }'),
      vessel: change(VESSEL, [
        'control:',
        '  - instrument: Air probe\n    every: 5 s\n    measures:\n      air: { noise: 0.02 °C, lag: 20 s }\ncontrol:',
      ]),
    },
    {
      because: 'there is no cooler',
      plan: own('{ heat: { start: 0.3 °C, stop: -0.3 °C } }'),
      vessel: VESSEL.replace(/cooler:[\s\S]*?instruments:/, 'instruments:'),
    },
  ],
)
