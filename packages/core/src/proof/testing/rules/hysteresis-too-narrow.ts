import { hysteresisTooNarrow } from '../../rules/hysteresis-too-narrow.ts'
import { change, PLAN, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const CONTROL =
  'control: { method: on-off, heat: { start: 0.3 °C, stop: 0 °C }, cool: { start: 0.3 °C, stop: 0 °C } }'
const noisy = (noise: string) => change(VESSEL, ['beer: { noise: 0.02 °C', `beer: { noise: ${noise}`])
const own = (control: string) => change(PLAN, ['hold: 18 °C', `hold: 18 °C\n    control: ${control}`])

provesRule(
  hysteresisTooNarrow,
  [
    {
      because: 'six times 0.06 °C of noise are more than 0.3 °C, for both appliances',
      vessel: noisy('0.06 °C'),
      marks: ['warning: vessel: Pantry fridge', 'warning: vessel: Pantry fridge'],
    },
    {
      because: 'two steps of 0.2 °C are more than 0.3 °C',
      vessel: change(VESSEL, ['resolution: 0.0625 °C', 'resolution: 0.2 °C']),
      marks: ['warning: vessel: Pantry fridge', 'warning: vessel: Pantry fridge'],
    },
    {
      because: 'in a cascade the noise of the air counts for the cooler',
      vessel: change(
        VESSEL,
        ['method: on-off', 'method: cascade'],
        [
          'control:',
          '  - instrument: Air probe\n    every: 5 s\n    measures:\n      air: { noise: 0.1 °C, lag: 20 s }\ncontrol:',
        ],
      ),
      marks: ['warning: vessel: Pantry fridge'],
    },
    {
      because: 'settings of a single stage',
      plan: own('{ cool: { start: 0.1 °C, stop: 0 °C } }'),
      marks: ['warning: control: { cool: { start: 0.1 °C, stop: 0 °C } }'],
    },
    {
      because: 'a stage that exchanges only one end: it would stop before it starts',
      plan: own('{ heat: { stop: 0.4 °C } }'),
      marks: ['error: control: { heat: { stop: 0.4 °C } }'],
    },
  ],
  [
    { because: 'six times 0.05 °C are 0.3 °C', vessel: noisy('0.05 °C') },
    {
      because: 'proportioned output has no bands',
      vessel: change(noisy('0.06 °C'), [CONTROL, 'control: { method: proportional }']),
    },
    {
      because: 'a noisy thermometer that is not in charge',
      vessel: change(VESSEL, [
        'gravity: { noise: 0.5 points, resolution: 0.1 points }',
        'gravity: { noise: 0.5 points, resolution: 0.1 points }\n      beer: { noise: 0.5 °C, lag: 10 min }',
      ]),
    },
    { because: 'a thermostat does its own switching', vessel: withThermostat('{}', noisy('0.06 °C')) },
  ],
)
