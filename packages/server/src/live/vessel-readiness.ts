import type { Beer } from '@attemper/core/beer/beer.ts'
import type { ApplianceReach, Check, LatestReading, StorageProblem } from '@attemper/core/readiness/check.ts'
import { floatBounds } from '@attemper/core/readiness/float-bounds.ts'
import { checkVessel } from '@attemper/core/readiness/vessel-checks.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { Store, Stream } from '../store/store.ts'

/** Of a float that reports each second, an hour and a half. */
const MOST_GRAVITIES = 10_000

export interface ReadinessQuestion {
  readonly vessel: Vessel
  readonly beer: Beer | null
  readonly now_ms: number
  readonly localOffset_s: number
  readonly batch: string | null
  readonly appliances: readonly ApplianceReach[]
  readonly storageProblem: StorageProblem | null
  readonly units: DisplayUnits
}

/** The checks of a vessel, from what the store has heard lately: one look-up for each channel, and the float's last hour. */
export function vesselReadiness(
  store: Pick<Store, 'latestReading' | 'readings'>,
  question: ReadinessQuestion,
): readonly Check[] {
  const { vessel, now_ms, beer, ...rest } = question
  const channels = listChannels(vessel)
  const streamOf = (number: number): Stream => {
    const { instrument, channel } = channels[number]!
    return { vessel: vessel.name, instrument: instrument.name, quantity: channel.quantity }
  }
  const latest = channels.map(({ number }): LatestReading | null => {
    const reading = store.latestReading(streamOf(number), now_ms)
    if (reading === null) return null
    const { value, status, at_ms } = reading
    return { value, status, at_s: Math.floor(at_ms / 1000) }
  })
  const bounds = floatBounds(vessel, beer)
  // The line through them begins at the reading before the window.
  const from_ms = bounds === null ? now_ms : now_ms - 2000 * bounds.steadyFor_s
  const gravities =
    bounds === null
      ? []
      : store
          .readings(streamOf(bounds.gravityChannel), from_ms, now_ms + 1, MOST_GRAVITIES)
          .filter(({ status }) => status === 'good')
          .map(({ at_ms, value }) => [Math.floor(at_ms / 1000), value] as const)
  return checkVessel({ ...rest, vessel, beer, now_s: Math.floor(now_ms / 1000), latest, gravities })
}
