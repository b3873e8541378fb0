import { finalGravityOutOfReach } from '../../rules/final-gravity-out-of-reach.ts'
import { BEER, change } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const final = (gravity: string) => change(BEER, ['1.012 ± 1 point', `${gravity} ± 1 point`])

provesRule(
  finalGravityOutOfReach,
  [
    // (1.050 - 1.016) / 0.050 = 68 %; (1.050 - 1.009) / 0.050 = 82 %, against 70 to 80 %.
    { because: '68 %', beer: final('1.016'), marks: ['warning: beer: Brown ale'] },
    { because: '82 %', beer: final('1.009'), marks: ['warning: beer: Brown ale'] },
  ],
  [
    { because: '70 %', beer: final('1.015') },
    { because: '80 %', beer: final('1.010') },
  ],
)
