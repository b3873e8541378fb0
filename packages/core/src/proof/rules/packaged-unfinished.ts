import { isProof, provesSteady, reachableUnproved } from '../finished.ts'
import type { Rule } from '../rule.ts'
import { isBarred } from '../ways.ts'

export const packagedUnfinished: Rule = {
  code: 'packaged-unfinished',
  severity: 'warning',
  title:
    'A plan that can be complete without the gravity ever having been steady, and without anybody having been asked.',
  why: 'Beer that goes on fermenting in a closed bottle bursts it; each point too much is about half a volume of carbon dioxide more.',
  check: context => {
    const { plan, ways, finish } = context
    if (plan.side === 'hot side') return []
    const unproved = reachableUnproved(context, provesSteady)
    if (!unproved[finish]) return []
    const last = ways
      .flat()
      .find(way => way.to === finish && unproved[way.from] && !isBarred(way) && !isProof(way, provesSteady))
    return [
      {
        file: 'plan',
        place: last?.place ?? plan.place,
        message: `The plan can be complete${last ? ` after '${plan.stages[last.from]!.name}'` : ''} without the gravity ever having been steady: the beer may be packaged unfinished.`,
        cure: 'Before the last stages wait for `gravity: { steady within: 1 point, for: 48 h }`, or ask first; never bottle an unfinished beer.',
      },
    ]
  },
}
