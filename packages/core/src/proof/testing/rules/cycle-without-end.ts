import { cycleWithoutEnd } from '../../rules/cycle-without-end.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const BACK = change(PLAN, [
  'at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask',
  'at most: 4.5 °C } }\n    then: Warm finish',
])

provesRule(
  cycleWithoutEnd,
  [
    { because: 'two stages lead only to each other', plan: BACK, marks: ['error: - stage: Warm finish'] },
    {
      because: 'a stage leads only to itself',
      plan: change(PLAN, [
        'at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask',
        'at most: 4.5 °C } }\n    then: Crash',
      ]),
      marks: ['error: - stage: Crash'],
    },
    {
      because: 'the way out can never be taken',
      plan: change(BACK, [
        'ramp: { to: 4 °C',
        'branches: [ { when: { all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] }, go to: finish } ]\n    ramp: { to: 4 °C',
      ]),
      marks: ['error: - stage: Warm finish'],
    },
  ],
  [
    {
      because: 'a branch leads out',
      plan: change(BACK, [
        'ramp: { to: 4 °C',
        'branches: [ { when: { since pitch: 20 d }, go to: finish } ]\n    ramp: { to: 4 °C',
      ]),
    },
    {
      because: 'its longest time leads out',
      plan: change(PLAN, [
        'at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask',
        'at most: 4.5 °C } }\n    then: Warm finish\n    at most: 6 d\n    if late: { go to: finish }',
      ]),
    },
  ],
)
