import { targetFreezes } from '../../rules/target-freezes.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const down = (to: string) =>
  change(PLAN, ['lowest: 0 °C', 'lowest: -5 °C'], ['to: 4 °C, at', `to: ${to}, at`])

// -(0.04 × 12.4 °P + 0.42 × 5.0 % + 0.2) = -2.8 °C for 1.050 to 1.012 (formula and source: formulas/freezing-point.ts).
provesRule(
  targetFreezes,
  [
    { because: 'below -2.8 °C', plan: down('-3 °C'), marks: ['error: ramp: { to: -3 °C, at: 5 °C/d }'] },
    {
      because: 'less than 1 °C above',
      plan: down('-2 °C'),
      marks: ['warning: ramp: { to: -2 °C, at: 5 °C/d }'],
    },
  ],
  [
    { because: 'more than 1 °C above', plan: down('-1.7 °C') },
    { because: 'no beer is given', plan: down('-3 °C'), beer: null },
  ],
)
