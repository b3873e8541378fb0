import { listSettings } from '../bands.ts'
import type { Rule } from '../rule.ts'

export const windowShorterThanRest: Rule = {
  code: 'window-shorter-than-rest',
  severity: 'warning',
  title: "Proportioned output whose window is shorter than the cooler's least run and rest together.",
  why: 'The cooler can not follow a share of such a window: its rest withholds most of the cold, and the controller winds up.',
  check: context => {
    const cooler = context.vessel?.cooler
    if (!cooler || context.vessel.thermostat) return []
    const cycle_s = cooler.restsAtLeast_s + cooler.runsAtLeast_s
    return listSettings(context).flatMap(({ settings, file, place, where }) =>
      settings.method !== 'proportional' || settings.window_s >= cycle_s
        ? []
        : [
            {
              file,
              place,
              message: `The window of the proportioned output is ${context.say.time(settings.window_s)}${where}, but the cooler runs and rests for at least ${context.say.time(cycle_s)} together.`,
              cure: `Make the window at least ${context.say.time(cycle_s)}, or use \`method: on-off\`.`,
            },
          ],
    )
  },
}
