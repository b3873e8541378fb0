import { originalGravityWithoutFloat } from '../../rules/original-gravity-without-float.ts'
import { BEER, change, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const fromFloat = change(BEER, [
  'original gravity: 1.050',
  'original gravity: 1.050\noriginal gravity from: float',
])
const GRAVITY = 'gravity: { noise: 0.5 points, resolution: 0.1 points }'
const withThermometer = change(VESSEL, [GRAVITY, `${GRAVITY}\n      beer: { noise: 0.1 °C, lag: 10 min }`])

provesRule(
  originalGravityWithoutFloat,
  [
    {
      because: 'the float has no thermometer',
      beer: fromFloat,
      marks: ['warning: beer: Brown ale'],
    },
    {
      because: 'the gravity is read by hand',
      beer: fromFloat,
      vessel: change(withThermometer, ['timeout: 2 h', 'by hand: true'], ['every: 30 min', 'every: 1 d']),
      marks: ['warning: beer: Brown ale'],
    },
    {
      because: 'four times 2 h are longer than it may take',
      beer: fromFloat,
      vessel: change(withThermometer, ['every: 30 min', 'every: 2 h'], ['timeout: 2 h', 'timeout: 8 h']),
      marks: ['warning: beer: Brown ale'],
    },
  ],
  [
    { because: 'the float can be compared with the probe', beer: fromFloat, vessel: withThermometer },
    {
      because: 'four times 90 min are soon enough',
      beer: fromFloat,
      vessel: change(withThermometer, ['every: 30 min', 'every: 90 min'], ['timeout: 2 h', 'timeout: 8 h']),
    },
    { because: 'it is what the file says' },
    { because: 'no vessel is given', beer: fromFloat, vessel: null },
  ],
)
