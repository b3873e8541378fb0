import { cycleWithoutTime } from '../../rules/cycle-without-time.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const loop = (first: string, second: string) =>
  change(
    PLAN,
    ['hold: 18 °C', `hold: 18 °C\n    branches: [ { when: ${first}, go to: Warm finish } ]`],
    [
      'ramp: { to: 20 °C, over: 3 d }',
      `ramp: { to: 20 °C, over: 3 d }\n    branches: [ { when: ${second}, go to: Primary } ]`,
    ],
  )

provesRule(
  cycleWithoutTime,
  [
    {
      because: 'both conditions can be true at once',
      plan: loop('{ gravity: { at most: 1.025 } }', '{ gravity: { at least: 1.022 } }'),
      marks: ['error: branches: [ { when: { gravity: { at most: 1.025 } }, go to: Warm finish } ]'],
    },
    {
      because: 'a stage leads to itself',
      plan: change(PLAN, [
        'hold: 18 °C',
        'hold: 18 °C\n    branches: [ { when: { beer: { at least: 19 °C } }, go to: Primary } ]',
      ]),
      marks: ['error: branches: [ { when: { beer: { at least: 19 °C } }, go to: Primary } ]'],
    },
    {
      because: 'a time that is over stays over',
      plan: loop('{ since pitch: 3 d }', '{ since pitch: 4 d }'),
      marks: ['error: branches: [ { when: { since pitch: 3 d }, go to: Warm finish } ]'],
    },
  ],
  [
    {
      because: 'the conditions exclude each other, and so does the way that the plan goes anyway',
      plan: loop('{ gravity: { at most: 1.025 } }', '{ gravity: { at least: 1.026 } }'),
    },
    {
      because: 'one of them takes time',
      plan: loop('{ gravity: { at most: 1.025 } }', '{ gravity: { at least: 1.022 }, lasting: 1 h }'),
    },
    {
      because: 'the time in the stage begins anew',
      plan: loop('{ gravity: { at most: 1.025 } }', '{ stage lasted: 3 d }'),
    },
    {
      because: 'the brewer is asked',
      plan: change(loop('{ gravity: { at most: 1.025 } }', '{ gravity: { at least: 1.022 } }'), [
        'go to: Primary }',
        'go to: Primary, ask first: true }',
      ]),
    },
  ],
)
