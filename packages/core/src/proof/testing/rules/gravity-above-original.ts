import { gravityAboveOriginal } from '../../rules/gravity-above-original.ts'
import { change, PLAN } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const until = (condition: string) => change(PLAN, ['{ gravity: { above final: 8 points } }', condition])

provesRule(
  gravityAboveOriginal,
  [
    {
      because: '1.055 of a beer that starts at 1.050',
      plan: until('{ gravity: { at most: 1.055 } }'),
      marks: ['warning: until: { gravity: { at most: 1.055 } }'],
    },
    {
      because: '40 points above 1.012',
      plan: until('{ gravity: { above final: 40 points } }'),
      marks: ['warning: until: { gravity: { above final: 40 points } }'],
    },
  ],
  [
    { because: '37 points above 1.012', plan: until('{ gravity: { above final: 37 points } }') },
    { because: 'no beer is given', plan: until('{ gravity: { at most: 1.055 } }'), beer: null },
  ],
)
