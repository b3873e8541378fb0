import { volume_L } from '../context.ts'
import { heatFlow, rate_K_per_s } from '../heat-flow.ts'
import type { Complaint, Rule } from '../rule.ts'

/** So much may a forgotten heater raise the beer before its command lapses, K. Common practice, no source. */
const HARMLESS_K = 2

export const commandLasts: Rule = {
  code: 'command-lasts',
  severity: 'warning',
  title:
    "A command that lapses before the cooler's least run is over, or that lasts long enough for a forgotten heater to do harm.",
  why: 'The lapse of its last command is what stops an appliance when the controller has died.',
  check: context => {
    const { vessel, plan, say } = context
    // A thermostat that is forgotten does not go beyond its target.
    if (!vessel || vessel.thermostat) return []
    const { lease_s } = vessel.interlocks
    const complaints: Complaint[] = []
    const runs_s = vessel.cooler?.runsAtLeast_s ?? 0
    if (lease_s < runs_s)
      complaints.push({
        file: 'vessel',
        place: vessel.cooler!.place,
        message: `A command lasts ${say.time(lease_s)}, but the cooler should run at least ${say.time(runs_s)}: if the controller dies it stops too early.`,
        cure: `Let a command last longer than ${say.time(runs_s)}.`,
      })
    if (vessel.heater && plan.side === 'fermentation') {
      const flow = heatFlow(vessel, volume_L({ ...context, vessel }), 'heater')
      const rate = rate_K_per_s(flow, vessel.room.mean_C.value)
      if (rate * lease_s > HARMLESS_K)
        complaints.push({
          file: 'vessel',
          place: vessel.heater.place,
          message: `A command lasts ${say.time(lease_s)}: if the controller dies while the heater is on, the beer is warmed by ${say.difference(rate * lease_s)} before it stops.`,
          cure: `Let a command last ${say.time(Math.max(60, HARMLESS_K / rate))} at most.`,
        })
    }
    return complaints
  },
}
