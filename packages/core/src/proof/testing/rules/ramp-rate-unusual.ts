import { rampRateUnusual } from '../../rules/ramp-rate-unusual.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  rampRateUnusual,
  [
    {
      because: '6 °C/h in a fermenter',
      plan: change(PLAN, ['at: 5 °C/d', 'at: 6 °C/h']),
      marks: ['warning: ramp: { to: 4 °C, at: 6 °C/h }'],
    },
    {
      because: '2 °C within 20 min',
      plan: change(PLAN, ['over: 3 d', 'over: 20 min']),
      marks: ['warning: ramp: { to: 20 °C, over: 20 min }'],
    },
  ],
  [
    { because: '4 °C/h', plan: change(PLAN, ['at: 5 °C/d', 'at: 4 °C/h']) },
    {
      because: 'a mash at 1 °C/min',
      plan: 'plan: Mash\nside: hot side\nstages:\n  - stage: Warm\n    ramp: { to: 72 °C, at: 1 °C/min }\n    until: { at target for: 20 min }\n    at most: 2 h\n',
      vessel: null,
      beer: null,
    },
  ],
)
