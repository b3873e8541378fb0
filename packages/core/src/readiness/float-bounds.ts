import type { Beer } from '../beer/beer.ts'
import { listChannels, type NumberedChannel } from '../vessel/channels.ts'
import type { Channel, Vessel } from '../vessel/vessel.ts'

/**
 * What a float has to show before it counts as being in the wort, worked out once for a vessel and a beer. Channels are
 * numbers of the vessel's list.
 *
 * How much two readings may differ is twice their combined standard uncertainty (GUM: a coverage of about 95 %) and a
 * margin for what the instruments do not state: where they hang, and how well the wort is mixed. The margins, the time and
 * the number of readings are common practice, no source.
 */
export interface FloatBounds {
  readonly float: string
  readonly gravityChannel: number
  /** Its own thermometer; -1: it has none, and then nobody can tell where it is. */
  readonly temperatureChannel: number
  /** The most trusted other thermometer in the beer; -1: there is none. */
  readonly probeChannel: number
  readonly probe: string
  /** The two temperatures may differ by this much. */
  readonly apart_K: number
  /** null: nobody has said yet which beer it is to be. */
  readonly expected_SG: number | null
  /** Its gravity may differ from the expected one by this much. */
  readonly near_SG: number
  /** It must have been steady for so long, in at least so many readings. */
  readonly steadyFor_s: number
  readonly leastReadings: number
  /** Over that time its gravity may drift by so much (the straight line through the readings) ... */
  readonly drift_SG: number
  /** ... and its readings may lie so far apart. */
  readonly spread_SG: number
}

const COVERAGE = 2
const MARGIN_K = 0.5
const MARGIN_SG = 0.002
/** A brewer who does not say how well the original gravity is known has read it off a scale, or counted on a yield. */
const USUAL_SD_SG = 0.002
const STEADY_FOR_S = 3600
const LEAST_READINGS = 4
const DRIFT_SG = 0.001
/** Noise is bounded to three standard deviations each way. */
const NOISE_RANGE = 6

type ExpectedWort = Pick<Beer, 'originalGravity' | 'originalGravitySd_SG'>

/** null: the vessel has no float, that is no instrument that reports a gravity by itself. */
export function floatBounds(vessel: Vessel, beer: ExpectedWort | null): FloatBounds | null {
  const channels = listChannels(vessel)
  const ofQuantity = (name: string) => byTrust(channels, vessel.trust[name] ?? [], name)
  const gravity = ofQuantity('gravity').find(({ instrument }) => !instrument.byHand)
  if (gravity === undefined) return null
  const float = gravity.instrument
  const inBeer = ofQuantity('beer')
  const own = inBeer.find(({ instrument }) => instrument === float)
  const probe = inBeer.find(({ instrument }) => instrument !== float && !instrument.byHand)
  const { noise } = gravity.channel
  const readings = LEAST_READINGS - 1
  return {
    float: float.name,
    gravityChannel: gravity.number,
    temperatureChannel: own?.number ?? -1,
    probeChannel: probe?.number ?? -1,
    probe: probe?.instrument.name ?? '',
    apart_K: apart_K(own?.channel, probe?.channel),
    expected_SG: beer?.originalGravity ?? null,
    near_SG:
      MARGIN_SG +
      COVERAGE * Math.hypot(beer?.originalGravitySd_SG ?? USUAL_SD_SG, uncertaintyOf(gravity.channel)),
    steadyFor_s: Math.max(STEADY_FOR_S, readings * float.every_s),
    leastReadings: LEAST_READINGS,
    // The end of a straight line through a few noisy readings is about as uncertain as one of them.
    drift_SG: DRIFT_SG + COVERAGE * noise,
    spread_SG: DRIFT_SG + NOISE_RANGE * noise + gravity.channel.resolution,
  }
}

/** One standard uncertainty of a single reading: its unknown constant error, its noise, and its step (uniform). */
function uncertaintyOf({ bias, noise, resolution }: Channel): number {
  return Math.hypot(bias.sd, noise, resolution / Math.sqrt(12))
}

/** What two thermometers in the same wort may differ by. */
export function apart_K(one: Channel | undefined, other: Channel | undefined): number {
  const ofOne = one === undefined ? 0 : uncertaintyOf(one)
  const ofOther = other === undefined ? 0 : uncertaintyOf(other)
  return MARGIN_K + COVERAGE * Math.hypot(ofOne, ofOther)
}

function byTrust(
  channels: readonly NumberedChannel[],
  trusted: readonly string[],
  quantity: string,
): readonly NumberedChannel[] {
  const rank = ({ instrument }: NumberedChannel) => {
    const place = trusted.indexOf(instrument.name)
    return place < 0 ? trusted.length : place
  }
  return channels.filter(({ channel }) => channel.quantity === quantity).toSorted((a, b) => rank(a) - rank(b))
}
