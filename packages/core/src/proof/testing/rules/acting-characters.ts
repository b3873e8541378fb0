import { actingCharacters } from '../../rules/acting-characters.ts'
import { BEER, change, PLAN, VESSEL } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

provesRule(
  actingCharacters,
  [
    {
      because: 'ESC in the name of a stage would be a command to the terminal',
      plan: change(PLAN, ['stage: Crash', 'stage: "Crash\\e[2J"']),
      marks: ['error: - stage: "Crash\\e[2J"'],
    },
    {
      because: 'the direction of writing is turned in the name of an instrument',
      plan: PLAN,
      vessel: change(VESSEL, ['instrument: Probe', 'instrument: "Pro\\u202Ebe"']),
      marks: ['error: - instrument: "Pro\\u202Ebe"'],
    },
  ],
  [
    {
      because: 'letters of any script, accents, signs and emoji are to be seen',
      plan: change(PLAN, ['stage: Crash', 'stage: "Fàrdig 冷却 ❄️ (¾)"']),
      beer: BEER,
    },
  ],
)
