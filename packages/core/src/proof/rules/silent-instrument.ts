import type { Rule } from '../rule.ts'
import { outcomeWithoutFailure, singleFailureProof } from '../single-failure.ts'

export const silentInstrument: Rule = {
  code: 'silent-instrument',
  severity: 'error',
  title: 'A stage that would wait silently for ever after a single instrument has failed.',
  why: 'A float that runs out of battery would leave the beer where it is, for weeks, with nobody told.',
  check: context => {
    const { plan, vessel, beer, reachable, say } = context
    if (!vessel) return []
    return singleFailureProof(plan, vessel, beer).flatMap(({ instrument, outcome }, index) => {
      const number = Math.floor(index / vessel.instruments.length)
      const stage = plan.stages[number]!
      if (outcome !== 'waits for ever' || !reachable[number]) return []
      // Where it would wait without any failure, other rules speak.
      if (outcomeWithoutFailure(stage, vessel, beer).outcome === 'waits for ever') return []
      const wait = stage.ifUnknown
        ? ''
        : ', or say what to do while it is unknown: `if unknown: { wait: 12 h, then: ask }`'
      return [
        {
          file: 'plan' as const,
          place: stage.until?.place ?? stage.places.name,
          message: `If the ${instrument} fails in '${stage.name}', what the stage waits for stays unknown and nobody would be asked: the stage would wait for ever.`,
          cure: `Give the stage a longest time, \`at most: ${say.time(14 * 86_400)}\` and \`if late: ask\`${wait}.`,
        },
      ]
    })
  },
}
