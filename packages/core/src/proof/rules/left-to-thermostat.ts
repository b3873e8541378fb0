import { listSettings } from '../bands.ts'
import type { Complaint, Rule } from '../rule.ts'

export const leftToThermostat: Rule = {
  code: 'left-to-thermostat',
  severity: 'note',
  title:
    'A vessel whose thermostat does its own switching; a warning where the plan or the vessel asks for a way of switching all the same.',
  why: 'Rests, changeovers and windows are kept by the thermostat or by nobody.',
  check: context => {
    const { vessel, plan } = context
    const thermostat = vessel?.thermostat
    if (!thermostat) return []
    const complaints: Complaint[] = [
      {
        file: 'vessel',
        place: thermostat.place,
        message: `The thermostat of '${vessel.name}' does its own switching: here it is only told a target.`,
        cure: 'See to it that the thermostat itself never heats and cools together, and lets a compressor rest for 3 to 5 min.',
      },
    ]
    for (const { settings, file, place, where } of listSettings(context)) {
      const fits =
        settings.method === 'on-off' || (settings.method === 'cascade' && thermostat.follows === 'air')
      if (fits) continue
      complaints.push({
        severity: 'warning',
        file,
        place,
        message: `The control is ${settings.method === 'cascade' ? 'a cascade' : 'proportional'}${where}, but the thermostat switches by itself, by the temperature of the ${thermostat.follows}.`,
        cure: 'Leave the method out: the target of the plan is handed to the thermostat.',
      })
    }
    for (const stage of plan.stages) {
      if (stage.course.kind !== 'boil') continue
      complaints.push({
        severity: 'warning',
        file: 'plan',
        place: stage.places.course,
        message: `'${stage.name}' boils with a share of the power, but a thermostat can only be told a temperature.`,
        cure: 'Boil in a vessel whose heater is switched directly.',
      })
    }
    return complaints
  },
}
