import type { Place } from '../place.ts'
import type { ControlSettings } from '../plan/plan.ts'
import type { Channel, Instrument, Vessel } from '../vessel/vessel.ts'
import { inCharge, type ProofContext, settingsIn } from './context.ts'

/** Control settings that hold somewhere, with the place where they were decided, and the reading that they work on. */
export interface Bands {
  readonly settings: ControlSettings
  readonly file: 'plan' | 'vessel'
  readonly place: Place
  /** "in 'Crash'", or nothing when they hold for the whole plan. */
  readonly where: string
  readonly instrument: Instrument
  readonly channel: Channel
  /** Largest difference between two readings of the same temperature: noise is bounded to three standard deviations. */
  readonly noise_K: number
}

/** Every set of on/off bands: that of vessel and plan, and of each stage with settings of its own. */
export function listBands(context: ProofContext): readonly Bands[] {
  const { plan, vessel } = context
  if (!vessel) return []
  const isOfPlan = Object.keys(plan.control).length > 0
  const base = bandsOf(
    vessel,
    settingsIn(vessel, plan),
    '',
    isOfPlan ? 'plan' : 'vessel',
    isOfPlan ? plan.place : vessel.place,
  )
  const own = plan.stages
    .filter(stage => Object.keys(stage.control).length > 0)
    .map(stage =>
      bandsOf(
        vessel,
        settingsIn(vessel, plan, stage),
        ` in '${stage.name}'`,
        'plan',
        stage.places.control ?? stage.place,
      ),
    )
  return [base, ...own].flatMap(bands => bands ?? [])
}

function bandsOf(
  vessel: Vessel,
  settings: ControlSettings,
  where: string,
  file: Bands['file'],
  place: Place,
): Bands | null {
  // Proportioned output switches by the clock and has no bands.
  if (settings.method === 'proportional') return null
  const measured =
    inCharge(vessel, settings.method === 'cascade' ? 'air' : 'beer') ?? inCharge(vessel, 'beer')
  if (!measured) return null
  return { settings, file, place, where, ...measured, noise_K: 6 * measured.channel.noise }
}
