import { forecastUnknown } from '../../rules/forecast-unknown.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const FORECAST = 'until: { gravity: { above forecast: 8 points } }'
const plan = change(PLAN, ['until: { gravity: { above final: 8 points } }', FORECAST])

provesRule(
  forecastUnknown,
  [
    { because: 'points above the forecast', plan, marks: [`note: ${FORECAST}`] },
    {
      because: 'and nothing is said for the time without one',
      plan: change(plan, [
        '    at most: 10 d\n    if late: ask\n    if unknown: { wait: 12 h, then: ask }\n',
        '',
      ]),
      marks: [`warning: ${FORECAST}`],
    },
  ],
  [{ because: 'points above the expected final gravity' }],
)
