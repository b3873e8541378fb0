import { atomsOf } from '../conditions/walk.ts'
import type { Rule } from '../rule.ts'

export const unknownBeforeWindow: Rule = {
  code: 'unknown-before-window',
  severity: 'warning',
  title:
    'A first stage that says what to do while its condition is unknown, sooner than the readings can cover the time over which it judges.',
  why: 'At the beginning there are no readings of the last two days yet: the brewer would be asked although nothing is wrong.',
  check: ({ plan, say }) => {
    const stage = plan.stages[0]
    if (!stage?.until || !stage.ifUnknown) return []
    let window_s = 0
    for (const atom of atomsOf(stage.until))
      window_s = Math.max(
        window_s,
        atom.kind === 'steady' ? atom.for_s : atom.kind === 'fall' ? atom.over_s : 0,
      )
    if (window_s <= stage.ifUnknown.wait_s) return []
    return [
      {
        file: 'plan',
        place: stage.ifUnknown.place,
        message: `'${stage.name}' judges over ${say.time(window_s)}, and until there are readings for so long its condition can be unknown; the answer to that comes after ${say.time(stage.ifUnknown.wait_s)} already.`,
        cure: `Wait at least ${say.time(window_s + 12 * 3600)}.`,
      },
    ]
  },
}
