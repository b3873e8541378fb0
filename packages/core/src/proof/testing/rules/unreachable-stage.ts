import { unreachableStage } from '../../rules/unreachable-stage.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  unreachableStage,
  [
    {
      because: 'the stage before it goes to the finish',
      plan: change(PLAN, ['for: 48 h } }', 'for: 48 h } }\n    then: finish']),
      marks: ['error: - stage: Crash'],
    },
    {
      because: 'two stages lead to each other, but nothing leads to them',
      plan: `${change(PLAN, ['at most: 4.5 °C } }', 'at most: 4.5 °C } }\n    then: finish'])}
  - stage: Dry hops
    hold: 4 °C
    until: { stage lasted: 3 d }
  - stage: Settle
    hold: 4 °C
    until: { stage lasted: 3 d }
    then: Dry hops
`,
      marks: ['error: - stage: Dry hops', 'error: - stage: Settle'],
    },
  ],
  [
    { because: 'all follow each other' },
    {
      because: 'only a longest time leads to it',
      plan: change(
        PLAN,
        ['for: 48 h } }', 'for: 48 h } }\n    then: finish'],
        ['at most: 14 d\n    if late: ask', 'at most: 14 d\n    if late: { go to: Crash }'],
      ),
    },
    {
      because: 'a stage that never ends stands before it, which is said there',
      plan: change(PLAN, [
        '    until: { gravity: { above final: 8 points } }\n    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n',
        '',
      ]),
    },
  ],
)
