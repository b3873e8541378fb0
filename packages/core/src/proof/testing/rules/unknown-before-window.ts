import { unknownBeforeWindow } from '../../rules/unknown-before-window.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const first = (until: string) =>
  change(PLAN, ['until: { gravity: { above final: 8 points } }', `until: ${until}`])
const WAIT = 'if unknown: { wait: 12 h, then: ask }'

provesRule(
  unknownBeforeWindow,
  [
    {
      because: 'two days of readings, but asked after 12 h',
      plan: first('{ gravity: { steady within: 1 point, for: 48 h } }'),
      marks: [`warning: ${WAIT}`],
    },
  ],
  [
    {
      because: 'asked after three days',
      plan: change(first('{ gravity: { steady within: 1 point, for: 48 h } }'), ['wait: 12 h', 'wait: 3 d']),
    },
    {
      because: 'a later stage, when the readings are there',
      plan: change(PLAN, ['at most: 14 d\n    if late: ask', `at most: 14 d\n    if late: ask\n    ${WAIT}`]),
    },
  ],
)
