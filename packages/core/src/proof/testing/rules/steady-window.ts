import { steadyWindow } from '../../rules/steady-window.ts'
import { change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const STEADY = 'gravity: { steady within: 1 point, for: 48 h }'
const steady = (text: string) => change(PLAN, [STEADY, text])
const noisy = (noise: string) =>
  change(VESSEL, ['gravity: { noise: 0.5 points', `gravity: { noise: ${noise}`])
const BY_HAND = change(VESSEL, ['every: 30 min\n    timeout: 2 h', 'every: 1 d\n    by hand: true'])

provesRule(
  steadyWindow,
  [
    {
      because: 'two readings a day apart',
      vessel: BY_HAND,
      marks: ['warning: until: { gravity: { steady within: 1 point, for: 48 h } }'],
    },
    {
      because: 'a rate over less than three readings',
      plan: steady('gravity: { falls at most: 1 point/d, over: 1 h }'),
      marks: ['warning: until: { gravity: { falls at most: 1 point/d, over: 1 h } }'],
    },
    {
      // Least squares through 96 readings: sd of the change over the window = 2 points × √(12 / 96) = 0.71 points.
      because: 'a noise of 2 points against 1 point over 96 readings',
      vessel: noisy('2 points'),
      marks: ['warning: until: { gravity: { steady within: 1 point, for: 48 h } }'],
    },
  ],
  [
    {
      because: 'three readings a day apart, within 3 points',
      vessel: BY_HAND,
      plan: steady('gravity: { steady within: 3 points, for: 3 d }'),
    },
    { because: 'a noise of 1.4 points (0.49 points over the window)', vessel: noisy('1.4 points') },
    {
      because: 'a noise of 2 points over 6 d',
      vessel: noisy('2 points'),
      plan: steady('gravity: { steady within: 1 point, for: 6 d }'),
    },
  ],
)
