import { hotAndElectric } from '../../rules/hot-and-electric.ts'
import { change, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  hotAndElectric,
  [
    {
      because: 'a heater of 150 W',
      vessel: change(VESSEL, ['power: 40 W', 'power: 150 W']),
      marks: ['note: power: 150 W'],
    },
    {
      because: 'a mash, whatever the heater',
      plan: 'plan: Mash\nside: hot side\nstages:\n  - stage: Rest\n    hold: 65 °C\n    until: { stage lasted: 1 h }\n',
      vessel: null,
      beer: null,
      marks: ['note: plan: Mash'],
    },
  ],
  [{ because: 'a heating belt of 100 W', vessel: change(VESSEL, ['power: 40 W', 'power: 100 W']) }],
)
