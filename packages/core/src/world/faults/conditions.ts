import type { NumberedChannel } from '../../vessel/channels.ts'
import type { ThermometerPlace } from '../heat/vessel-network.ts'
import { type Fault, faultActive } from './fault.ts'

/** What the active faults amount to at one moment. Constant between two edges. */
export interface Conditions {
  readonly heaterWelded: boolean
  readonly heaterDead: boolean
  readonly coolerWelded: boolean
  readonly coolerDead: boolean
  readonly networkCut: boolean
  readonly powerCut: boolean
  readonly controllerDown: boolean
  readonly roomOffset_K: number
  readonly doorFactor: number
  readonly activityFactor: number
  readonly stuckAt: number
  /** By channel. */
  readonly places: readonly ThermometerPlace[]
  /** Where a thermostat's own thermometer hangs; null: where it belongs. */
  readonly thermostatInto: ThermometerPlace | null
  readonly stuck: readonly boolean[]
  readonly inWort: readonly boolean[]
}

export function conditionsAt(
  faults: readonly Fault[],
  channels: readonly NumberedChannel[],
  t_s: number,
): Conditions {
  const active = faults.filter(fault => faultActive(fault, t_s))
  const has = (kind: Fault['kind']) => active.some(fault => fault.kind === kind)
  const places: ThermometerPlace[] = channels.map(({ channel }) => channel.sits)
  const inWort = channels.map(() => true)
  const stuck = channels.map(() => false)
  let roomOffset_K = 0
  let doorFactor = 1
  let activityFactor = 1
  let stuckAt = 0
  let thermostatInto: ThermometerPlace | null = null
  for (const fault of active) {
    if (fault.kind === 'room warmer') roomOffset_K += fault.by_K
    if (fault.kind === 'thermostat displaced') thermostatInto = fault.into
    if (fault.kind === 'door open') doorFactor *= fault.factor
    if (fault.kind === 'fermentation speed') activityFactor *= fault.factor
    if (fault.kind === 'fermentation stuck') stuckAt = Math.max(stuckAt, fault.atShare)
    for (const { number, instrument } of channels) {
      if (fault.kind === 'channel stuck' && fault.channel === number) stuck[number] = true
      if (fault.kind === 'thermometer displaced' && fault.instrument === instrument.name) {
        places[number] = fault.into
      }
      if (fault.kind === 'float not in wort' && fault.instrument === instrument.name) {
        places[number] = 'room'
        inWort[number] = false
      }
    }
  }
  const powerCut = has('power cut')
  return {
    heaterWelded: has('heater welded'),
    heaterDead: has('heater dead'),
    coolerWelded: has('cooler welded'),
    coolerDead: has('cooler dead'),
    networkCut: has('network cut'),
    powerCut,
    controllerDown: powerCut || has('controller down'),
    roomOffset_K,
    doorFactor,
    activityFactor,
    stuckAt,
    places,
    thermostatInto,
    stuck,
    inWort,
  }
}

/** Moments after `start_s` at which a fault begins or ends, ascending, each once. */
export function faultEdges_s(faults: readonly Fault[], start_s: number): number[] {
  const edges = faults
    .flatMap(fault => [fault.from_s, fault.to_s])
    .filter(t_s => t_s > start_s && Number.isFinite(t_s))
  return [...new Set(edges)].sort((a, b) => a - b)
}
