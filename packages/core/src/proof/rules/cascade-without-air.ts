import { listSettings } from '../bands.ts'
import { instrumentsFor } from '../context.ts'
import type { Rule } from '../rule.ts'

export const cascadeWithoutAir: Rule = {
  code: 'cascade-without-air',
  severity: 'warning',
  title: "A cascade in a vessel where nothing measures the cabinet's air.",
  why: 'Without the air there is no inner loop: the appliances are switched by the beer alone, and overshoot as before.',
  check: context => {
    const { vessel } = context
    // A thermostat that keeps the air needs nobody to measure it.
    if (!vessel || vessel.thermostat || instrumentsFor(vessel, 'air').length > 0) return []
    return listSettings(context).flatMap(({ settings, file, place, where }) =>
      settings.method !== 'cascade'
        ? []
        : [
            {
              file,
              place,
              message: `The control is a cascade${where}, but no instrument of '${vessel.name}' measures the air: it will switch by the beer alone.`,
              cure: 'Add a thermometer for the `air` of the cabinet, or write `method: on-off`.',
            },
          ],
    )
  },
}
