import type { Rule } from '../rule.ts'
import { rampRate_K_per_s } from '../targets.ts'

/** 19 K in 6 h, the fastest that is said to do no harm (White and Zainasheff 2010, as quoted), rounded up; K/s. */
const FERMENTER = 4 / 3600
/** Strong kettles warm a mash by 1 to 2 °C/min. Common practice, no source; K/s. */
const KETTLE = 4 / 60

export const rampRateUnusual: Rule = {
  code: 'ramp-rate-unusual',
  severity: 'warning',
  title:
    'A ramp steeper than yeast stands well (4 °C/h), or on the hot side than any kettle manages (4 °C/min).',
  why: 'Yeast that is chilled or warmed within a few hours gives off what should have stayed inside; more often a unit was mistaken.',
  check: ({ plan, begins, say }) =>
    plan.stages.flatMap((stage, number) => {
      const rate = rampRate_K_per_s(stage.course, begins[number] ?? null)
      const most = plan.side === 'hot side' ? KETTLE : FERMENTER
      if (rate === null || rate <= most * (1 + 1e-9)) return []
      return [
        {
          file: 'plan' as const,
          place: stage.places.course,
          message: `The ramp of '${stage.name}' goes at ${say.about(rate)}, more than ${say.about(most)}.`,
          cure: `Ask for ${say.about(most)} or less.`,
        },
      ]
    }),
}
