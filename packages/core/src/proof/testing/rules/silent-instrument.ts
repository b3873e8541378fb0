import { silentInstrument } from '../../rules/silent-instrument.ts'
import { change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const CARELESS = change(PLAN, [
  '    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n',
  '',
])
const UNTIL = 'until: { gravity: { above final: 8 points } }'
const SECOND_FLOAT = change(VESSEL, [
  'control:',
  '  - instrument: Hydrometer\n    by hand: true\n    every: 2 d\n    measures:\n      gravity: { noise: 0.5 points }\ncontrol:',
])

provesRule(
  silentInstrument,
  [
    { because: 'only the gravity ends it', plan: CARELESS, marks: [`error: ${UNTIL}`] },
    {
      because: 'the time alone does not make both true',
      plan: change(CARELESS, [
        UNTIL,
        'until: { all: [ { gravity: { above final: 8 points } }, { stage lasted: 3 d } ] }',
      ]),
      marks: ['error: until: { all: [ { gravity: { above final: 8 points } }, { stage lasted: 3 d } ] }'],
    },
    {
      because: 'another alternative that need not come is no proof',
      plan: change(CARELESS, [
        UNTIL,
        'until: { any: [ { gravity: { above final: 8 points } }, { beer: { at least: 19 °C } } ] }',
      ]),
      marks: [
        'error: until: { any: [ { gravity: { above final: 8 points } }, { beer: { at least: 19 °C } } ] }',
      ],
    },
    {
      because: 'not unknown is still unknown',
      plan: change(CARELESS, [UNTIL, 'until: { not: { gravity: { at least: 1.020 } } }']),
      marks: ['error: until: { not: { gravity: { at least: 1.020 } } }'],
    },
    {
      because: 'a branch that only the beer decides is no proof',
      plan: change(CARELESS, [
        'hold: 18 °C',
        'hold: 18 °C\n    branches: [ { when: { beer: { at least: 19 °C } }, go to: Crash } ]',
      ]),
      marks: [`error: ${UNTIL}`],
    },
    {
      because: 'what is used instead rests on the same instrument',
      plan: change(CARELESS, [
        UNTIL,
        `${UNTIL}\n    if unknown: { wait: 12 h, use: { gravity: { steady within: 1 point, for: 48 h } } }`,
      ]),
      marks: [`error: ${UNTIL}`],
    },
    {
      because: 'a task to wait for rests on the same instrument, so that going on by time is barred',
      plan: change(PLAN, [
        `${UNTIL}\n    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }`,
        `${UNTIL}\n    at most: 10 d\n    if late: go on\n    tasks: [ { task: Dry hops, wait: true, when: { gravity: { at most: 1.022 } } } ]`,
      ]),
      marks: [`error: ${UNTIL}`],
    },
  ],
  [
    {
      because: 'it says what to do while unknown',
      plan: change(CARELESS, [UNTIL, `${UNTIL}\n    if unknown: { wait: 12 h, then: ask }`]),
    },
    {
      because: 'it has a longest time',
      plan: change(CARELESS, [UNTIL, `${UNTIL}\n    at most: 10 d\n    if late: ask`]),
    },
    {
      because: 'held with an alarm',
      plan: change(CARELESS, [UNTIL, `${UNTIL}\n    at most: 10 d\n    if late: hold`]),
    },
    { because: 'a second instrument for the same quantity', plan: CARELESS, vessel: SECOND_FLOAT },
    {
      because: 'one of the alternatives is a time',
      plan: change(CARELESS, [
        UNTIL,
        'until: { any: [ { gravity: { above final: 8 points } }, { stage lasted: 9 d } ] }',
      ]),
    },
    {
      because: 'a branch that comes by time',
      plan: change(CARELESS, [
        'hold: 18 °C',
        'hold: 18 °C\n    branches: [ { when: { stage lasted: 9 d }, go to: Warm finish } ]',
      ]),
    },
    {
      because: 'what is used instead is a time',
      plan: change(CARELESS, [UNTIL, `${UNTIL}\n    if unknown: { wait: 12 h, use: { stage lasted: 8 d } }`]),
    },
    { because: 'no vessel is given', plan: CARELESS, vessel: null },
  ],
)
