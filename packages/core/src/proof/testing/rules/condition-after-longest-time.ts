import { conditionAfterLongestTime } from '../../rules/condition-after-longest-time.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  conditionAfterLongestTime,
  [
    {
      because: 'the time alone',
      plan: change(PLAN, ['until: { gravity: { above final: 8 points } }', 'until: { stage lasted: 11 d }']),
      marks: ['warning: until: { stage lasted: 11 d }'],
    },
    {
      because: 'what has to last after a time',
      plan: change(PLAN, [
        'until: { gravity: { above final: 8 points } }',
        'until: { all: [ { stage lasted: 8 d }, { gravity: { at most: 1.020 } } ], lasting: 3 d }',
      ]),
      marks: [
        'warning: until: { all: [ { stage lasted: 8 d }, { gravity: { at most: 1.020 } } ], lasting: 3 d }',
      ],
    },
    {
      because: 'the time at the target of a ramp: 16 °C at 5 °C/d are more than 3 d',
      plan: change(PLAN, ['until: { beer: { at most: 4.5 °C } }', 'until: { at target for: 4 d }']),
      marks: ['warning: until: { at target for: 4 d }'],
    },
  ],
  [
    {
      because: 'just before the longest time',
      plan: change(PLAN, ['until: { gravity: { above final: 8 points } }', 'until: { stage lasted: 10 d }']),
    },
    {
      because: 'one alternative comes sooner',
      plan: change(PLAN, [
        'until: { gravity: { above final: 8 points } }',
        'until: { any: [ { stage lasted: 11 d }, { gravity: { at most: 1.020 } } ] }',
      ]),
    },
    {
      because: 'the time since pitching began earlier',
      plan: change(PLAN, ['until: { beer: { at most: 4.5 °C } }', 'until: { since pitch: 20 d }']),
    },
  ],
)
