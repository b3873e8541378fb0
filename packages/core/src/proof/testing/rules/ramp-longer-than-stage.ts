import { rampLongerThanStage } from '../../rules/ramp-longer-than-stage.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  rampLongerThanStage,
  [
    {
      because: 'over a time',
      plan: change(PLAN, ['over: 3 d', 'over: 15 d']),
      marks: ['warning: ramp: { to: 20 °C, over: 15 d }'],
    },
    {
      because: 'at a rate: from 20 to 4 °C at 2 °C/d is 8 d',
      plan: change(PLAN, ['at: 5 °C/d', 'at: 2 °C/d']),
      marks: ['warning: ramp: { to: 4 °C, at: 2 °C/d }'],
    },
  ],
  [
    { because: 'just as long', plan: change(PLAN, ['over: 3 d', 'over: 14 d']) },
    { because: 'from nearer by', plan: change(PLAN, ['at: 5 °C/d', 'at: 2 °C/d, from: 16 °C']) },
  ],
)
