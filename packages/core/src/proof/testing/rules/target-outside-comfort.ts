import { targetOutsideComfort } from '../../rules/target-outside-comfort.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const UNTIL = 'until: { gravity: { steady within: 1 point, for: 48 h } }\n    at most: 14 d\n    if late: ask'
const COLD = ['warning: ramp: { to: 4 °C, at: 5 °C/d }']
const before = (text: string) => change(PLAN, [UNTIL, text])

provesRule(
  targetOutsideComfort,
  [
    {
      because: 'too warm from the beginning',
      plan: change(PLAN, ['hold: 18 °C', 'hold: 23 °C']),
      marks: ['warning: hold: 23 °C'],
    },
    {
      because: 'much too warm even for a rest at the end',
      plan: change(PLAN, ['highest: 24 °C', 'highest: 35 °C'], ['to: 20 °C', 'to: 29 °C']),
      marks: ['warning: ramp: { to: 29 °C, over: 3 d }'],
    },
    { because: 'chilled after a time', plan: before('until: { stage lasted: 6 d }'), marks: COLD },
    {
      because: 'chilled 8 points too high',
      plan: before('until: { gravity: { above final: 8 points } }\n    at most: 14 d'),
      marks: COLD,
    },
    {
      because: 'one of the alternatives is a time',
      plan: before(
        'until: { any: [ { gravity: { steady within: 1 point, for: 48 h } }, { stage lasted: 6 d } ] }',
      ),
      marks: COLD,
    },
    {
      because: 'the longest time leads on without asking',
      plan: change(PLAN, ['at most: 14 d\n    if late: ask', 'at most: 14 d\n    if late: go on']),
      marks: COLD,
    },
    {
      because: 'too cold for the yeast from the beginning',
      plan: change(PLAN, ['hold: 18 °C', 'hold: 16 °C']),
      marks: ['warning: hold: 16 °C'],
    },
  ],
  [
    { because: 'a warm rest within 8 points of the end', plan: change(PLAN, ['to: 20 °C', 'to: 23 °C']) },
    {
      because: 'chilled at the final gravity',
      plan: before('until: { gravity: { above final: 2 points } }\n    at most: 14 d'),
    },
    {
      because: 'chilled when somebody has looked',
      plan: before('until: { stage lasted: 6 d }\n    ask first: true'),
    },
    {
      because: 'steady and a time',
      plan: before(
        'until: { all: [ { gravity: { steady within: 1 point, for: 48 h } }, { stage lasted: 6 d } ] }',
      ),
    },
    { because: 'no beer is given', plan: before('until: { stage lasted: 6 d }'), beer: null },
  ],
)
