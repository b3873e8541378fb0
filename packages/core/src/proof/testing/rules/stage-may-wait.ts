import { stageMayWait } from '../../rules/stage-may-wait.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const UNTIL = 'until: { gravity: { above final: 8 points } }\n    at most: 10 d\n    if late: ask\n'
const without = (condition: string) => change(PLAN, [UNTIL, `until: ${condition}\n`])

provesRule(
  stageMayWait,
  [
    {
      because: 'a stuck fermentation would never get there',
      plan: without('{ gravity: { above final: 8 points } }'),
      marks: ['warning: until: { gravity: { above final: 8 points } }'],
    },
    {
      because: 'without a vessel as well',
      plan: without('{ gravity: { above final: 8 points } }'),
      vessel: null,
      beer: null,
      marks: ['warning: until: { gravity: { above final: 8 points } }'],
    },
    {
      because: 'a time that counts from the target',
      plan: without('{ at target for: 3 d }'),
      marks: ['warning: until: { at target for: 3 d }'],
    },
  ],
  [
    { because: 'it has a longest time' },
    { because: 'time alone ends it', plan: without('{ stage lasted: 7 d }') },
    {
      because: 'a date ends it',
      plan: without('{ date: { from: 2026-12-12T18:00 } }'),
      beer: null,
      vessel: null,
    },
    {
      because: 'an alternative by time ends it',
      plan: without('{ any: [ { gravity: { above final: 8 points } }, { stage lasted: 9 d } ] }'),
    },
    {
      because: 'a branch by time ends it',
      plan: without(
        '{ gravity: { above final: 8 points } }\n    branches: [ { when: { stage lasted: 9 d }, go to: Crash } ]',
      ),
    },
  ],
)
