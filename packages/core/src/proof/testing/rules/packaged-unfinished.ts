import { packagedUnfinished } from '../../rules/packaged-unfinished.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const UNTIL = 'until: { gravity: { steady within: 1 point, for: 48 h } }'
const LAST = ['warning: until: { beer: { at most: 4.5 °C } }']

provesRule(
  packagedUnfinished,
  [
    {
      because: 'a gravity is not yet a steady one',
      plan: change(PLAN, [UNTIL, 'until: { gravity: { above final: 1 point } }']),
      marks: LAST,
    },
    {
      because: 'a branch leads past the steady gravity',
      plan: change(PLAN, [
        'hold: 18 °C',
        'hold: 18 °C\n    branches: [ { when: { stage lasted: 9 d }, go to: Crash } ]',
      ]),
      marks: LAST,
    },
    {
      because: 'the longest time leads past it',
      plan: change(PLAN, ['at most: 14 d\n    if late: ask', 'at most: 14 d\n    if late: go on']),
      marks: LAST,
    },
  ],
  [
    { because: 'steady' },
    {
      because: 'hardly falling any more',
      plan: change(PLAN, [UNTIL, 'until: { gravity: { falls at most: 0.5 points/d, over: 2 d } }']),
    },
    {
      because: 'somebody is asked',
      plan: change(PLAN, [UNTIL, 'until: { gravity: { above final: 1 point } }\n    ask first: Is it done?']),
    },
    {
      because: 'nothing ferments in a mash',
      plan: 'plan: Mash\nside: hot side\nstages:\n  - stage: Rest\n    hold: 65 °C\n    until: { stage lasted: 1 h }\n',
      vessel: null,
      beer: null,
    },
  ],
)
