import { targetOutOfReach } from '../../rules/target-out-of-reach.ts'
import { change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const NO_COOLER = VESSEL.replace(/cooler:[\s\S]*?instruments:/, 'instruments:')
const NO_HEATER = VESSEL.replace(/heater:[\s\S]*?cooler:/, 'cooler:')
const hold = (target: string) =>
  change(PLAN, ['hold: 18 °C', `hold: ${target}`], ['highest: 24 °C', 'highest: 60 °C'])

provesRule(
  targetOutOfReach,
  [
    {
      because: 'there is no cooler',
      vessel: NO_COOLER,
      marks: ['warning: ramp: { to: 4 °C, at: 5 °C/d }'],
    },
    {
      because: 'there is no heater',
      vessel: NO_HEATER,
      marks: ['warning: hold: 18 °C', 'warning: ramp: { to: 20 °C, over: 3 d }'],
    },
    { because: 'the heater is too weak', plan: hold('55 °C'), marks: ['warning: hold: 55 °C'] },
    {
      because: 'the cooler is too weak',
      vessel: change(
        VESSEL,
        ['power: 120 W', 'power: 30 W'],
        ['air to room: 1.5 W/°C', 'air to room: 3 W/°C'],
      ),
      marks: ['warning: ramp: { to: 4 °C, at: 5 °C/d }'],
    },
    {
      because: 'a boil without a heater',
      plan: 'plan: Boil\nside: hot side\nstages:\n  - stage: Boil\n    boil: true\n    until: { stage lasted: 1 h }\n',
      vessel: NO_HEATER,
      beer: null,
      marks: ['error: boil: true'],
    },
  ],
  [
    { because: 'within reach of both' },
    {
      because: 'no cooler, and nothing below the room',
      vessel: NO_COOLER,
      plan: change(PLAN, ['to: 4 °C', 'to: 15.5 °C']),
    },
    {
      because: 'no heater, and a free rise by the yeast alone',
      vessel: NO_HEATER,
      plan: change(PLAN, ['hold: 18 °C', 'free rise: { to: 21 °C }'], ['to: 20 °C', 'to: 16 °C']),
    },
  ],
)
