import { stageCannotEnd } from '../../rules/stage-cannot-end.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const ENDLESS: readonly [string, string] = [
  '    until: { gravity: { above final: 8 points } }\n    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n',
  '',
]

provesRule(
  stageCannotEnd,
  [
    {
      because: 'no condition, no branch, no longest time',
      plan: change(PLAN, ENDLESS),
      marks: ['error: - stage: Primary'],
    },
    {
      because: 'the last stage is kept for ever',
      plan: change(PLAN, [
        '    until: { beer: { at most: 4.5 °C } }\n    at most: 6 d\n    if late: ask\n',
        '',
      ]),
      marks: ['warning: - stage: Crash'],
    },
    {
      because: 'it waits for a task that is never given',
      plan: change(PLAN, [
        'hold: 18 °C',
        'hold: 18 °C\n    tasks:\n      - { task: Rouse, wait: true, when: { all: [ { beer: { at least: 30 °C } }, { beer: { at most: 20 °C } } ] } }',
      ]),
      marks: [
        'error: - { task: Rouse, wait: true, when: { all: [ { beer: { at least: 30 °C } }, { beer: { at most: 20 °C } } ] } }',
      ],
    },
  ],
  [
    {
      because: 'it has a longest time only',
      plan: change(
        PLAN,
        ['    until: { gravity: { above final: 8 points } }\n', ''],
        ['    if unknown: { wait: 12 h, then: ask }\n', ''],
      ),
    },
    {
      because: 'it has a branch only',
      plan: change(PLAN, [
        ENDLESS[0],
        '    branches:\n      - { when: { stage lasted: 7 d }, go to: Crash }\n',
      ]),
    },
    {
      because: 'it waits for a task whose condition comes',
      plan: change(PLAN, [
        'hold: 18 °C',
        'hold: 18 °C\n    tasks:\n      - { task: Rouse, wait: true, when: { stage lasted: 2 d } }',
      ]),
    },
  ],
)
