import { volume_L } from '../context.ts'
import { heatFlow } from '../heat-flow.ts'
import type { Complaint, Rule } from '../rule.ts'
import { namedTargets_C } from '../targets.ts'

/** Fermentation, the daily swing and what is not known of the room make this much no matter, K. */
const SLACK_K = 1

export const targetOutOfReach: Rule = {
  code: 'target-out-of-reach',
  severity: 'warning',
  title:
    'A target that the vessel can not hold even with its heater or cooler always on, or for which it has none, at the mean temperature of the room.',
  why: 'The stage would wait for a temperature that never comes, with the appliance running all the time.',
  check: context => {
    const { plan, vessel, say, reachable } = context
    if (!vessel) return []
    const volume = volume_L({ ...context, vessel })
    const room_C = vessel.room.mean_C.value
    const warmest_C = heatFlow(vessel, volume, 'heater').rest_C
    const coldest_C = heatFlow(vessel, volume, 'cooler').rest_C
    return plan.stages.flatMap((stage, number): Complaint[] => {
      const { course } = stage
      if (!reachable[number]) return []
      // A cap is kept by the yeast and the room; only what is heated for, or cooled for, has to be reached.
      const heatedFor =
        course.kind === 'free rise' ? [course.lowest_C ?? Number.NEGATIVE_INFINITY] : namedTargets_C(course)
      const cooledFor = course.kind === 'boil' ? [] : namedTargets_C(course)
      const highest = heatedFor.length > 0 ? Math.max(...heatedFor) : Number.NEGATIVE_INFINITY
      const lowest = cooledFor.length > 0 ? Math.min(...cooledFor) : Number.POSITIVE_INFINITY
      const complaints: Complaint[] = []
      if (highest > warmest_C + SLACK_K)
        complaints.push({
          severity: course.kind === 'boil' ? 'error' : 'warning',
          file: 'plan',
          place: stage.places.course,
          message: vessel.heater
            ? `'${stage.name}' asks for ${say.temperature(highest)}, but with its heater of ${say.power(vessel.heater.power_W.value)} always on the vessel comes to rest at ${say.temperature(warmest_C)} in a room of ${say.temperature(room_C)}.`
            : `'${stage.name}' asks for ${say.temperature(highest)}, but the vessel has no heater and the room is at ${say.temperature(room_C)} on average.`,
          cure: vessel.heater
            ? `Ask for ${say.temperature(warmest_C)} or less, insulate the vessel, or fit a stronger heater.`
            : `Fit a heater, or find a room of ${say.temperature(highest)}.`,
        })
      if (lowest < coldest_C - SLACK_K)
        complaints.push({
          file: 'plan',
          place: stage.places.course,
          message: vessel.cooler
            ? `'${stage.name}' asks for ${say.temperature(lowest)}, but with its cooler always on the vessel comes to rest at ${say.temperature(coldest_C)} in a room of ${say.temperature(room_C)}.`
            : `'${stage.name}' asks for ${say.temperature(lowest)}, but the vessel has no cooler and the room is at ${say.temperature(room_C)} on average.`,
          cure: vessel.cooler
            ? `Ask for ${say.temperature(coldest_C)} or more, insulate the vessel, or fit a stronger cooler.`
            : `Fit a cooler, or find a room of ${say.temperature(lowest)}.`,
        })
      return complaints
    })
  },
}
