import type { Complaint, Rule } from '../rule.ts'
import { namedTargets_C } from '../targets.ts'

export const targetOutsideThermostat: Rule = {
  code: 'target-outside-thermostat',
  severity: 'warning',
  title: "A target outside of what the vessel's thermostat can be set to.",
  why: 'It is set to the end of its range instead, and the stage waits for a temperature that never comes.',
  check: ({ plan, vessel, reachable, say }) => {
    const thermostat = vessel?.thermostat
    if (!thermostat) return []
    const { lowest_C, highest_C } = thermostat
    return plan.stages.flatMap((stage, number): Complaint[] => {
      const targets = namedTargets_C(stage.course)
      if (targets.length === 0 || !reachable[number]) return []
      const warmest = Math.max(...targets)
      const coldest = Math.min(...targets)
      const complaints: Complaint[] = []
      if (warmest > highest_C)
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' aims at ${say.temperature(warmest)}, but the thermostat can be set to ${say.temperature(highest_C)} at most.`,
          cure: `Aim at ${say.temperature(highest_C)} or less.`,
        })
      if (coldest < lowest_C)
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: `'${stage.name}' aims at ${say.temperature(coldest)}, but the thermostat can be set to ${say.temperature(lowest_C)} at least.`,
          cure: `Aim at ${say.temperature(lowest_C)} or more.`,
        })
      return complaints
    })
  },
}
