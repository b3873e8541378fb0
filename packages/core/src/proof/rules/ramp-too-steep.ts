import { volume_L } from '../context.ts'
import { heatFlow, rate_K_per_s, travelTime_s } from '../heat-flow.ts'
import type { Complaint, Rule } from '../rule.ts'
import { rampRate_K_per_s } from '../targets.ts'

/** A tenth of the ramp's time late does not matter. Common practice, no source. */
const LATE = 1.1

export const rampTooSteep: Rule = {
  code: 'ramp-too-steep',
  severity: 'warning',
  title:
    "A ramp that the vessel can not follow at full power, worked out from its heat paths in steady flow without the yeast's own heat.",
  why: 'The beer falls behind its target, and everything that counts from the target being reached comes late.',
  check: context => {
    const { plan, vessel, begins, reachable, say } = context
    if (!vessel) return []
    const volume = volume_L({ ...context, vessel })
    const flows = { up: heatFlow(vessel, volume, 'heater'), down: heatFlow(vessel, volume, 'cooler') }
    return plan.stages.flatMap((stage, number): Complaint[] => {
      const { course } = stage
      if (course.kind !== 'ramp' || !reachable[number]) return []
      const begin = begins[number] ?? null
      const from_C =
        course.from_C ??
        (!begin
          ? null
          : Math.abs(begin.highest - course.to_C) > Math.abs(begin.lowest - course.to_C)
            ? begin.highest
            : begin.lowest)
      const wanted = rampRate_K_per_s(course, begin)
      if (from_C === null || wanted === null || from_C === course.to_C) return []
      const isUp = course.to_C > from_C
      const flow = isUp ? flows.up : flows.down
      const able = (beer_C: number) => rate_K_per_s(flow, beer_C) * (isUp ? 1 : -1)
      const atEnd = able(course.to_C)
      // Where the target can not be held at all, target-out-of-reach speaks.
      if (atEnd <= 0 || atEnd >= wanted) return []
      const falls_per_K = (able(from_C) - atEnd) / (from_C - course.to_C)
      const leaves_C = able(from_C) <= wanted ? from_C : course.to_C + (wanted - atEnd) / falls_per_K
      const planned_s = Math.abs(course.to_C - from_C) / wanted
      const takes_s = Math.abs(leaves_C - from_C) / wanted + travelTime_s(flow, leaves_C, course.to_C)
      if (takes_s < LATE * planned_s) return []
      return [
        {
          file: 'plan',
          place: stage.places.course,
          message: `The ramp of '${stage.name}' asks for ${say.about(wanted)}, but the vessel can do only ${say.about(atEnd)} at ${say.temperature(course.to_C)} (without the yeast's own heat): it falls behind from ${say.temperature(leaves_C)} on, and takes ${say.time(takes_s)} instead of ${say.time(planned_s)}.`,
          cure: `Ask for ${say.about(atEnd)} or less, or expect the stage to take ${say.time(takes_s)}.`,
        },
      ]
    })
  },
}
