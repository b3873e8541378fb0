import { targetOutsideLimits } from '../../rules/target-outside-limits.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  targetOutsideLimits,
  [
    {
      because: 'above the highest',
      plan: change(PLAN, ['hold: 18 °C', 'hold: 24.5 °C']),
      marks: ['error: hold: 24.5 °C'],
    },
    {
      because: 'below the lowest',
      plan: change(PLAN, ['to: 4 °C', 'to: -1 °C']),
      marks: ['error: ramp: { to: -1 °C, at: 5 °C/d }'],
    },
    {
      because: 'where a ramp begins',
      plan: change(PLAN, ['to: 20 °C, over: 3 d', 'from: 25 °C, to: 20 °C, over: 3 d']),
      marks: ['error: ramp: { from: 25 °C, to: 20 °C, over: 3 d }'],
    },
    {
      because: 'a boil under a limit of 95 °C',
      plan: 'plan: Boil\nside: hot side\nlimits: { highest: 95 °C }\nstages:\n  - stage: Boil\n    boil: true\n    until: { stage lasted: 1 h }\n',
      vessel: null,
      beer: null,
      marks: ['error: boil: true'],
    },
  ],
  [
    {
      because: 'just at both limits',
      plan: change(PLAN, ['hold: 18 °C', 'hold: 24 °C'], ['to: 4 °C', 'to: 0 °C']),
    },
  ],
)
