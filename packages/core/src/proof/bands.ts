import type { Place } from '../place.ts'
import type { ControlSettings } from '../plan/plan.ts'
import type { Channel, Instrument, Vessel } from '../vessel/vessel.ts'
import { inCharge, type ProofContext, settingsIn } from './context.ts'

/** The reading that an appliance is switched by. */
export interface Watched {
  readonly instrument: Instrument
  readonly channel: Channel
  /** Largest difference between two readings of the same temperature: noise is bounded to three standard deviations. */
  readonly noise_K: number
}

/** On/off settings that hold somewhere, with the place where they were decided. */
export interface Bands {
  readonly settings: ControlSettings
  readonly file: 'plan' | 'vessel'
  readonly place: Place
  /** " in 'Crash'", or nothing when they hold for the whole plan. */
  readonly where: string
  /** null: there is no such appliance. */
  readonly heat: Watched | null
  readonly cool: Watched | null
}

/** Every set of on/off bands: that of vessel and plan, and of each stage with settings of its own. */
export function listBands(context: ProofContext): readonly Bands[] {
  return listSettings(context)
    .filter(({ settings }) => settings.method !== 'proportional')
    .map(found => ({ ...found, ...watchedBy(context.vessel!, found.settings) }))
}

export type Settings = Pick<Bands, 'settings' | 'file' | 'place' | 'where'>

/** Every set of control settings: that of vessel and plan, and of each stage with settings of its own. */
export function listSettings({ plan, vessel }: ProofContext): readonly Settings[] {
  if (!vessel) return []
  const isOfPlan = Object.keys(plan.control).length > 0
  const whole: Settings = {
    settings: settingsIn(vessel, plan),
    file: isOfPlan ? 'plan' : 'vessel',
    place: isOfPlan ? plan.place : vessel.place,
    where: '',
  }
  const own = plan.stages
    .filter(stage => Object.keys(stage.control).length > 0)
    .map(
      (stage): Settings => ({
        settings: settingsIn(vessel, plan, stage),
        file: 'plan',
        place: stage.places.control ?? stage.place,
        where: ` in '${stage.name}'`,
      }),
    )
  return [whole, ...own]
}

/** In a cascade an appliance that works on the cabinet's air is switched by the air, as in the engine; a thermostat goes by itself. */
function watchedBy(vessel: Vessel, settings: ControlSettings): Pick<Bands, 'heat' | 'cool'> {
  if (vessel.thermostat) return { heat: null, cool: null }
  const beer = inCharge(vessel, 'beer')
  const air = settings.method === 'cascade' && vessel.heat.cabinet ? inCharge(vessel, 'air') : null
  const watched = (followsAir: boolean): Watched | null => {
    const found = followsAir ? (air ?? beer) : beer
    return found && { ...found, noise_K: 6 * found.channel.noise }
  }
  const { heater, cooler } = vessel
  return {
    heat: heater ? watched(heater.toAir_W_per_K > heater.toBeer_W_per_K + heater.toWall_W_per_K) : null,
    cool: cooler ? watched(cooler.toAir_W_per_K > cooler.toBeer_W_per_K) : null,
  }
}
