import { listSettings } from '../bands.ts'
import type { Rule } from '../rule.ts'

export const thermostatTooCoarse: Rule = {
  code: 'thermostat-too-coarse',
  severity: 'warning',
  title:
    "A thermostat that stays idle so far from its target (its hysteresis) that the plan's target may never count as reached.",
  why: 'Everything that counts from the target being reached would wait for ever.',
  check: context => {
    const thermostat = context.vessel?.thermostat
    if (thermostat?.follows !== 'beer') return []
    const { hysteresis_K: idle_K } = thermostat
    const { say } = context
    return listSettings(context).flatMap(({ settings, file, place, where }) =>
      idle_K <= settings.reached_K * (1 + 1e-9)
        ? []
        : [
            {
              file,
              place,
              message: `The thermostat may stay idle ${say.difference(idle_K)} from the target, but the target counts as reached within ${say.difference(settings.reached_K)}${where}.`,
              cure: `Give the thermostat a smaller hysteresis, or write \`reached within: ${say.difference(idle_K)}\`.`,
            },
          ],
    )
  },
}
