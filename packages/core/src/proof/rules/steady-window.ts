import { atomsOf, conditionsOf } from '../conditions/walk.ts'
import { inCharge } from '../context.ts'
import type { Complaint, Rule } from '../rule.ts'

const LEAST_READINGS = 3

export const steadyWindow: Rule = {
  code: 'steady-window',
  severity: 'warning',
  title:
    'A wish for steady readings over less than three reporting intervals of the instrument, or within less than its noise permits.',
  why: 'From two readings, or from noise, nothing can be said: the beer would count as steady by chance, or never.',
  check: ({ plan, vessel, say }) => {
    if (!vessel) return []
    return plan.stages.flatMap(stage =>
      conditionsOf(stage).flatMap(condition =>
        [...atomsOf(condition)].flatMap((atom): Complaint[] => {
          if (atom.kind !== 'steady' && atom.kind !== 'fall') return []
          const quantity = atom.kind === 'steady' ? atom.quantity : 'gravity'
          const window_s = atom.kind === 'steady' ? atom.for_s : atom.over_s
          const measured = inCharge(vessel, quantity)
          if (!measured) return []
          const { instrument, channel } = measured
          const readings = window_s / instrument.every_s
          if (readings < LEAST_READINGS)
            return [
              {
                file: 'plan',
                place: atom.place,
                message: `In '${stage.name}' the ${quantity} is judged over ${say.time(window_s)}, but the ${instrument.name} reports every ${say.time(instrument.every_s)}: that is less than ${LEAST_READINGS} readings.`,
                cure: `Judge over at least ${say.time(LEAST_READINGS * instrument.every_s)}.`,
              },
            ]
          if (atom.kind !== 'steady') return []
          // Standard deviation of the change of a straight line fitted to n readings; rounding adds a twelfth of its square.
          const single = Math.sqrt(channel.noise ** 2 + channel.resolution ** 2 / 12)
          const sd = single * Math.sqrt(12 / readings)
          if (atom.within >= 2 * sd) return []
          return [
            {
              file: 'plan',
              place: atom.place,
              message: `In '${stage.name}' the ${quantity} should be steady within ${say.step(quantity, atom.within)}, but over ${say.time(window_s)} the noise of the ${instrument.name} alone makes a change with a standard deviation of ${say.step(quantity, sd)}.`,
              cure: `Allow ${say.step(quantity, Math.ceil((2 * sd) / (atom.within / 10)) * (atom.within / 10))}, or judge over ${say.time(Math.ceil((window_s * ((2 * sd) / atom.within) ** 2) / 3600) * 3600)}.`,
            },
          ]
        }),
      ),
    )
  },
}
