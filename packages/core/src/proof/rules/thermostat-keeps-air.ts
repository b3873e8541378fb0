import { listSettings } from '../bands.ts'
import type { Rule } from '../rule.ts'

export const thermostatKeepsAir: Rule = {
  code: 'thermostat-keeps-air',
  severity: 'warning',
  title: "A thermostat that keeps the cabinet's air, told the target of the beer.",
  why: 'While it ferments, the beer is some degrees warmer than the air around it.',
  check: context => {
    if (context.vessel?.thermostat?.follows !== 'air' || context.plan.side === 'hot side') return []
    return listSettings(context).flatMap(({ settings, file, place, where }) =>
      settings.method === 'cascade'
        ? []
        : [
            {
              file,
              place,
              message: `The thermostat keeps the air at the target of the beer${where}, and a fermenting beer is warmer than the air.`,
              cure: 'Write `method: cascade`: then it is told the air that brings the beer to its target.',
            },
          ],
    )
  },
}
