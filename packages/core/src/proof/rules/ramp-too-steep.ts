import { volume_L } from '../context.ts'
import { heatFlow, rate_K_per_s, travelTime_s } from '../heat-flow.ts'
import type { Complaint, Rule } from '../rule.ts'
import { rampRate_K_per_s } from '../targets.ts'

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
    const idle = heatFlow(vessel, volume, 'nothing')
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
      const appliance = isUp ? vessel.heater : vessel.cooler
      const able = (beer_C: number) => rate_K_per_s(flow, beer_C) * (isUp ? 1 : -1)
      const atStart = able(from_C)
      const atEnd = able(course.to_C)
      if (Math.min(atStart, atEnd) >= wanted) return []
      // Where the target can not be held at all, target-out-of-reach speaks.
      if (atEnd <= 0) return []
      const time_s = travelTime_s(appliance ? flow : idle, from_C, course.to_C)
      const least = Math.min(atStart, atEnd)
      const where = say.temperature(atEnd <= atStart ? course.to_C : from_C)
      return [
        {
          file: 'plan',
          place: stage.places.course,
          message: `The ramp of '${stage.name}' asks for ${say.about(wanted)}, but at ${where} the vessel can do ${say.about(Math.max(0, least))} at most (without the yeast's own heat): it takes ${say.time(time_s)} and not ${say.time(Math.abs(course.to_C - from_C) / wanted)}.`,
          cure: `Ask for ${say.about(Math.max(0, least))} or less, or let the stage take ${say.time(time_s)}.`,
        },
      ]
    })
  },
}
