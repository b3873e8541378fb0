import type { Vessel } from '../../vessel/vessel.ts'
import type { Plant } from '../plant.ts'
import { HeatNetwork, INPUTS, NODES } from './network.ts'
import { type Follower, StepTable } from './step-table.ts'

/**
 * The network of a vessel: beer - wall - (cabinet's air) - room, with the heater's element and the evaporator as nodes of
 * their own. Without a cabinet, whatever would go to its air goes to the room.
 *
 * The cooler while it runs is a conductance from the evaporator to a sink at its coldest temperature, power / (20 - coldest):
 * the full power at 20 °C, falling in proportion to the distance. When it stops only that path is gone, and the cold
 * evaporator goes on cooling.
 */
export interface HeatSwitches {
  readonly coolerOn: boolean
  /** The beer gives off steam; see Boiling. */
  readonly boiling: boolean
  /** Factor on the conductance between the cabinet's air and the room; 1 with the door closed. */
  readonly doorFactor: number
  /** By thermometer: where it really is. */
  readonly places: readonly ThermometerPlace[]
}

export type ThermometerPlace = 'beer' | 'wall' | 'air' | 'room'

export interface Thermometer {
  readonly lag_s: number
}

/** Inputs of the network, in this order. */
export const HEATER_W = 0
export const ROOM_C = 1
export const YEAST_W = 2
export const COLDEST_C = 3
export const BOILING_C = 4

const EVAPORATOR_REFERENCE_C = 20
/** So steep that a kettle with 3 kW stays within 0.2 K of the boiling point. */
const STEAM_W_PER_K = 20_000
/** A thermometer without a lag is modelled with this one, which no reading at whole seconds can tell from none. */
const LEAST_LAG_S = 0.1
/** Energy counters run in kJ, so that they do not lengthen the matrix exponential. */
const KILO = 1000

/** Nodes of the network, in this order. A vessel without cabinet, heater or cooler leaves theirs alone. */
export const BEER = 0
export const WALL = 1
export const AIR = 2
export const ELEMENT = 3
export const EVAPORATOR = 4
/** The first thermometer among the rows of the state; the others follow in order. */
export const FIRST_THERMOMETER = NODES

/** Counters after the thermometers, kJ: heat taken away by the cooler, heat lost to the room and as steam. */
export function cooledRow(thermometers: number): number {
  return FIRST_THERMOMETER + thermometers
}
export function lostRow(thermometers: number): number {
  return FIRST_THERMOMETER + thermometers + 1
}

/** Heat capacity of each node, J/K; 0 for one that the vessel does not have. */
export function nodeCapacities_J_per_K(vessel: Vessel, plant: Plant): number[] {
  return [
    plant.beer_J_per_K,
    plant.wall_J_per_K,
    vessel.heat.cabinet ? plant.air_J_per_K : 0,
    vessel.heater === undefined ? 0 : plant.element_J_per_K,
    vessel.cooler === undefined ? 0 : plant.evaporator_J_per_K,
  ]
}

/** The exact steps of a vessel in one switching state. */
export function vesselSteps(
  vessel: Vessel,
  plant: Plant,
  thermometers: readonly Thermometer[],
  switches: HeatSwitches,
): StepTable {
  const network = new HeatNetwork(nodeCapacities_J_per_K(vessel, plant).map(capacity => capacity || 1))
  const { cabinet } = vessel.heat
  const toAir = (node: number, conductance_W_per_K: number) => {
    if (!cabinet) network.joinInput(node, ROOM_C, conductance_W_per_K)
    else network.join(node, AIR, conductance_W_per_K)
  }
  network.join(BEER, WALL, plant.beerToWall_W_per_K)
  toAir(WALL, plant.wallToAir_W_per_K)
  if (cabinet) {
    network.joinInput(AIR, ROOM_C, plant.airToRoom_W_per_K * switches.doorFactor)
  }
  const { heater, cooler } = vessel
  if (heater !== undefined) {
    network.join(ELEMENT, BEER, heater.toBeer_W_per_K)
    network.join(ELEMENT, WALL, heater.toWall_W_per_K)
    toAir(ELEMENT, heater.toAir_W_per_K)
    network.heat(ELEMENT, HEATER_W)
  }
  let sink_W_per_K = 0
  if (cooler !== undefined) {
    network.join(EVAPORATOR, BEER, cooler.toBeer_W_per_K)
    toAir(EVAPORATOR, cooler.toAir_W_per_K)
    if (switches.coolerOn) {
      sink_W_per_K = plant.coolerPower_W / Math.max(1, EVAPORATOR_REFERENCE_C - cooler.coldest_C)
      network.joinInput(EVAPORATOR, COLDEST_C, sink_W_per_K)
    }
  }
  network.heat(BEER, YEAST_W)
  if (switches.boiling) network.joinInput(BEER, BOILING_C, STEAM_W_PER_K)

  const followers = thermometers.map((thermometer, number) =>
    thermometerFollower(cabinet, thermometer, switches.places[number]!),
  )
  followers.push(cooledFollower(sink_W_per_K), lostFollower(network))
  return new StepTable(network, followers)
}

function thermometerFollower(cabinet: boolean, thermometer: Thermometer, place: ThermometerPlace): Follower {
  const rate = 1 / Math.max(LEAST_LAG_S, thermometer.lag_s)
  const nodes = new Array<number>(NODES).fill(0)
  const inputs = new Array<number>(INPUTS).fill(0)
  if (place === 'beer') nodes[BEER] = rate
  else if (place === 'wall') nodes[WALL] = rate
  else if (place === 'air' && cabinet) nodes[AIR] = rate
  else inputs[ROOM_C] = rate
  return { nodes, self: -rate, inputs }
}

function cooledFollower(sink_W_per_K: number): Follower {
  const nodes = new Array<number>(NODES).fill(0)
  const inputs = new Array<number>(INPUTS).fill(0)
  nodes[EVAPORATOR] = sink_W_per_K / KILO
  inputs[COLDEST_C] = -sink_W_per_K / KILO
  return { nodes, self: 0, inputs }
}

/** Each node loses C b (T - outside), where b is its row's entry for the room or for the steam. */
function lostFollower(network: HeatNetwork): Follower {
  const nodes = new Array<number>(NODES).fill(0)
  const inputs = new Array<number>(INPUTS).fill(0)
  for (let node = 0; node < NODES; node++) {
    for (const outside of [ROOM_C, BOILING_C]) {
      const rate = (network.capacities_J_per_K[node]! * network.b[node * INPUTS + outside]!) / KILO
      nodes[node]! += rate
      inputs[outside]! -= rate
    }
  }
  return { nodes, self: 0, inputs }
}
