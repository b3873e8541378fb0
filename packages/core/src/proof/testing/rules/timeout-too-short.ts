import { timeoutTooShort } from '../../rules/timeout-too-short.ts'
import { change, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  timeoutTooShort,
  [
    {
      // Common practice, no source: the float that flapped between any two of its reports.
      because: 'a float that reports every 30 min against 130 s',
      vessel: change(VESSEL, ['timeout: 2 h', 'timeout: 130 s']),
      marks: ['warning: timeout: 130 s'],
    },
    {
      because: 'just less than three intervals',
      vessel: change(VESSEL, ['timeout: 2 h', 'timeout: 89 min']),
      marks: ['warning: timeout: 89 min'],
    },
  ],
  [
    { because: 'three intervals', vessel: change(VESSEL, ['timeout: 2 h', 'timeout: 90 min']) },
    { because: 'none is given', vessel: change(VESSEL, ['    timeout: 2 h\n', '']) },
  ],
)
