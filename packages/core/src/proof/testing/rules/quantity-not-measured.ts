import { quantityNotMeasured } from '../../rules/quantity-not-measured.ts'
import { change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const UNTIL = 'until: { gravity: { above final: 8 points } }'
const PRESSURE = 'until: { pressure: { at least: 0.8 bar } }'

provesRule(
  quantityNotMeasured,
  [
    {
      because: 'nothing measures the pressure; the stage has a longest time',
      plan: change(PLAN, [UNTIL, PRESSURE]),
      marks: [`warning: ${PRESSURE}`],
    },
    {
      because: 'and nothing else ends the stage',
      plan: change(PLAN, [
        `${UNTIL}\n    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }`,
        PRESSURE,
      ]),
      marks: [`error: ${PRESSURE}`],
    },
  ],
  [
    {
      because: 'an instrument measures it',
      plan: change(PLAN, [UNTIL, PRESSURE]),
      vessel: change(VESSEL, [
        'control:',
        '  - instrument: Gauge\n    every: 1 min\n    measures:\n      pressure: { noise: 0.01 bar }\ncontrol:',
      ]),
    },
    { because: 'no vessel is given', plan: change(PLAN, [UNTIL, PRESSURE]), vessel: null },
  ],
)
