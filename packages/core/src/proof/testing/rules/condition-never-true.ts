import { conditionNeverTrue } from '../../rules/condition-never-true.ts'
import { change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const UNTIL = 'until: { gravity: { above final: 8 points } }'
const until = (condition: string) => change(PLAN, [UNTIL, `until: ${condition}`])
const trips = (because: string, condition: string, severity = 'warning') => ({
  because,
  plan: until(condition),
  marks: [`${severity}: until: ${condition}`],
})
const spares = (because: string, condition: string) => ({ because, plan: until(condition) })

provesRule(
  conditionNeverTrue,
  [
    trips(
      'contradictory gravities',
      '{ all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] }',
    ),
    trips(
      'contradictory through the expected final gravity (1.012 + 8 points)',
      '{ all: [ { gravity: { above final: 8 points } }, { gravity: { at least: 1.021 } } ] }',
    ),
    trips(
      'a time asked for and ruled out',
      '{ all: [ { stage lasted: 3 d }, { not: { stage lasted: 2 d } } ] }',
    ),
    trips(
      'every alternative is ruled out',
      '{ all: [ { beer: { at most: 17 °C } }, { any: [ { beer: { at least: 18 °C } }, { beer: { at least: 19 °C } } ] } ] }',
    ),
    trips(
      'attenuation against gravity: 70 % of 1.050 is 1.015',
      '{ all: [ { attenuation: { at least: 70 % } }, { gravity: { at least: 1.016 } } ] }',
    ),
    trips(
      'times of day that do not meet',
      '{ all: [ { time of day: { from: "08:00", to: "12:00" } }, { time of day: { from: "13:00", to: "20:00" } } ] }',
    ),
    trips('less than the yeast leaves', '{ gravity: { at most: 1.004 } }'),
    trips('more than the beer starts with', '{ gravity: { at least: 1.060 } }'),
    trips('warmer than the stage keeps the beer', '{ beer: { at least: 21 °C } }'),
    trips(
      'both steady and not',
      '{ all: [ { gravity: { steady within: 1 point, for: 48 h } }, { not: { gravity: { steady within: 1 point, for: 48 h } } } ] }',
    ),
    {
      because: 'a task that is given only in a later stage',
      plan: change(
        PLAN,
        [UNTIL, 'until: { done: Dry hops }'],
        ['ramp: { to: 4 °C, at: 5 °C/d }', 'ramp: { to: 4 °C, at: 5 °C/d }\n    tasks: [ Dry hops ]'],
      ),
      marks: ['warning: until: { done: Dry hops }'],
    },
    {
      because: 'a task whose own condition can not come',
      plan: change(
        PLAN,
        [UNTIL, 'until: { done: Dry hops }'],
        [
          'hold: 18 °C',
          'hold: 18 °C\n    tasks: [ { task: Dry hops, when: { all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] } } ]',
        ],
      ),
      marks: [
        'warning: tasks: [ { task: Dry hops, when: { all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] } } ]',
        'warning: until: { done: Dry hops }',
      ],
    },
    {
      because: 'two tasks that wait for each other',
      plan: change(
        PLAN,
        [UNTIL, 'until: { done: Taste }'],
        [
          'hold: 18 °C',
          'hold: 18 °C\n    tasks: [ { task: Taste, when: { done: Sample } }, { task: Sample, when: { done: Taste } } ]',
        ],
      ),
      marks: [
        'warning: tasks: [ { task: Taste, when: { done: Sample } }, { task: Sample, when: { done: Taste } } ]',
        'warning: tasks: [ { task: Taste, when: { done: Sample } }, { task: Sample, when: { done: Taste } } ]',
        'warning: until: { done: Taste }',
      ],
    },
    {
      because: 'it is the only way out',
      plan: change(PLAN, [
        'until: { gravity: { above final: 8 points } }\n    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n',
        'until: { all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] }\n',
      ]),
      marks: ['error: until: { all: [ { gravity: { at least: 1.030 } }, { gravity: { at most: 1.020 } } ] }'],
    },
    {
      because: 'the time since a target in a stage that is left alone',
      plan: change(PLAN, ['hold: 18 °C', 'leave alone: true'], [UNTIL, 'until: { at target for: 2 d }']),
      marks: ['warning: until: { at target for: 2 d }'],
    },
  ],
  [
    spares('bounds that touch', '{ gravity: { at least: 1.020, at most: 1.020 } }'),
    spares(
      'one alternative is left',
      '{ all: [ { beer: { at most: 17 °C } }, { any: [ { beer: { at least: 18 °C } }, { stage lasted: 3 d } ] } ] }',
    ),
    spares(
      'times of day that meet across midnight',
      '{ all: [ { time of day: { from: "22:00", to: "02:00" } }, { time of day: { from: "01:00", to: "08:00" } } ] }',
    ),
    spares(
      'that something has not lasted does not rule out that it is so',
      '{ all: [ { gravity: { at most: 1.020 } }, { not: { gravity: { at most: 1.020 }, lasting: 2 d } } ] }',
    ),
    spares('just what the yeast may leave', '{ gravity: { at most: 1.010 } }'),
    {
      because: 'without a cooler the yeast may well warm the beer',
      plan: until('{ beer: { at least: 21 °C } }'),
      vessel: VESSEL.replace(/cooler:[\s\S]*?instruments:/, 'instruments:'),
    },
    {
      because: 'a branch for what is not expected',
      plan: change(PLAN, [
        'hold: 18 °C',
        'hold: 18 °C\n    branches: [ { when: { beer: { at least: 21 °C } }, go to: Crash, ask first: true } ]',
      ]),
    },
    {
      because: 'a task of an earlier stage',
      plan: change(
        PLAN,
        ['hold: 18 °C', 'hold: 18 °C\n    tasks: [ Dry hops ]'],
        ['until: { beer: { at most: 4.5 °C } }', 'until: { done: Dry hops }'],
      ),
    },
    {
      because: 'a task of a later stage from which a way leads back',
      plan: change(
        PLAN,
        [UNTIL, 'until: { done: Dry hops }'],
        [
          'ramp: { to: 20 °C, over: 3 d }',
          'ramp: { to: 20 °C, over: 3 d }\n    tasks: [ Dry hops ]\n    branches: [ { when: { stage lasted: 5 d }, go to: Primary } ]',
        ],
      ),
    },
    {
      because: 'on its way down to 4 °C the beer passes 10 °C',
      plan: change(PLAN, ['at most: 4.5 °C', 'at most: 10 °C']),
    },
  ],
)
