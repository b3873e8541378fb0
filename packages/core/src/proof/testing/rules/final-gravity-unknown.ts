import { finalGravityUnknown } from '../../rules/final-gravity-unknown.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  finalGravityUnknown,
  [
    {
      because: 'points above final, but no beer',
      beer: null,
      marks: ['note: until: { gravity: { above final: 8 points } }'],
    },
  ],
  [
    { because: 'a beer is given' },
    {
      because: 'a gravity in figures',
      beer: null,
      plan: change(PLAN, ['above final: 8 points', 'at most: 1.020']),
    },
  ],
)
