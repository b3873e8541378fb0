import { rampTooSteep } from '../../rules/ramp-too-steep.ts'
import { BEER, change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  rampTooSteep,
  [
    {
      because: 'chilled faster than the refrigerator can',
      plan: change(PLAN, ['at: 5 °C/d', 'at: 3 °C/h']),
      marks: ['warning: ramp: { to: 4 °C, at: 3 °C/h }'],
    },
    {
      because: 'warmed faster than the heater can: 40 W on 83 kJ/°C are less than 1.7 °C/h',
      plan: change(PLAN, ['over: 3 d', 'over: 1 h']),
      marks: ['warning: ramp: { to: 20 °C, over: 1 h }'],
    },
    {
      because: 'ten times the beer',
      beer: change(BEER, ['brewer:', 'volume: 200 L\nbrewer:']),
      plan: change(PLAN, ['at: 5 °C/d', 'at: 10 °C/d']),
      marks: ['warning: ramp: { to: 4 °C, at: 10 °C/d }'],
    },
  ],
  [
    { because: 'slow enough' },
    {
      because:
        'only in its last degree a little faster than the 0.75 °C/h that the refrigerator can do there',
      plan: change(PLAN, ['at: 5 °C/d', 'at: 0.8 °C/h']),
    },
    { because: 'the same with the usual amount', plan: change(PLAN, ['at: 5 °C/d', 'at: 10 °C/d']) },
  ],
)
