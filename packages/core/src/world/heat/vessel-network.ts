import type { Vessel } from '../../vessel/vessel.ts'
import type { Plant } from '../plant.ts'
import { HeatNetwork } from './network.ts'
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
const INPUTS = 4

const EVAPORATOR_REFERENCE_C = 20
/** A thermometer without a lag is modelled with this one, which no reading at whole seconds can tell from none. */
const LEAST_LAG_S = 0.1
/** Energy counters run in kJ, so that they do not lengthen the matrix exponential. */
const KILO = 1000

/** Where the nodes and followers of a vessel stand in the state; -1: it has none. */
export interface HeatLayout {
  readonly beer: number
  readonly wall: number
  readonly air: number
  readonly element: number
  readonly evaporator: number
  readonly nodes: number
  /** First thermometer; the others follow in order. */
  readonly thermometers: number
  /** Counters, kJ: heat taken away by the cooler; heat lost to the room. */
  readonly cooled: number
  readonly lost: number
  readonly rows: number
}

export function heatLayout(vessel: Vessel, thermometers: number): HeatLayout {
  let nodes = 2
  const air = vessel.heat.cabinet ? nodes++ : -1
  const element = vessel.heater === undefined ? -1 : nodes++
  const evaporator = vessel.cooler === undefined ? -1 : nodes++
  return {
    beer: 0,
    wall: 1,
    air,
    element,
    evaporator,
    nodes,
    thermometers: nodes,
    cooled: nodes + thermometers,
    lost: nodes + thermometers + 1,
    rows: nodes + thermometers + 2,
  }
}

/** Heat capacity of each node, J/K, in the order of the layout. */
export function nodeCapacities_J_per_K(vessel: Vessel, plant: Plant): number[] {
  const capacities = [plant.beer_J_per_K, plant.wall_J_per_K]
  if (vessel.heat.cabinet) capacities.push(plant.air_J_per_K)
  if (vessel.heater !== undefined) capacities.push(plant.element_J_per_K)
  if (vessel.cooler !== undefined) capacities.push(plant.evaporator_J_per_K)
  return capacities
}

/** The exact steps of a vessel in one switching state. */
export function vesselSteps(
  vessel: Vessel,
  plant: Plant,
  layout: HeatLayout,
  thermometers: readonly Thermometer[],
  switches: HeatSwitches,
): StepTable {
  const network = new HeatNetwork(nodeCapacities_J_per_K(vessel, plant), INPUTS)
  const toAir = (node: number, conductance_W_per_K: number) => {
    if (layout.air < 0) network.joinInput(node, ROOM_C, conductance_W_per_K)
    else network.join(node, layout.air, conductance_W_per_K)
  }
  network.join(layout.beer, layout.wall, plant.beerToWall_W_per_K)
  toAir(layout.wall, plant.wallToAir_W_per_K)
  if (layout.air >= 0) {
    network.joinInput(layout.air, ROOM_C, plant.airToRoom_W_per_K * switches.doorFactor)
  }
  const { heater, cooler } = vessel
  if (heater !== undefined) {
    network.join(layout.element, layout.beer, heater.toBeer_W_per_K)
    network.join(layout.element, layout.wall, heater.toWall_W_per_K)
    toAir(layout.element, heater.toAir_W_per_K)
    network.heat(layout.element, HEATER_W)
  }
  let sink_W_per_K = 0
  if (cooler !== undefined) {
    network.join(layout.evaporator, layout.beer, cooler.toBeer_W_per_K)
    toAir(layout.evaporator, cooler.toAir_W_per_K)
    if (switches.coolerOn) {
      sink_W_per_K = plant.coolerPower_W / Math.max(1, EVAPORATOR_REFERENCE_C - cooler.coldest_C)
      network.joinInput(layout.evaporator, COLDEST_C, sink_W_per_K)
    }
  }
  network.heat(layout.beer, YEAST_W)

  const followers = thermometers.map((thermometer, number) =>
    thermometerFollower(layout, thermometer, switches.places[number]!),
  )
  followers.push(cooledFollower(layout, sink_W_per_K), lostFollower(network))
  return new StepTable(network, followers)
}

function thermometerFollower(
  layout: HeatLayout,
  thermometer: Thermometer,
  place: ThermometerPlace,
): Follower {
  const rate = 1 / Math.max(LEAST_LAG_S, thermometer.lag_s)
  const nodes = new Array<number>(layout.nodes).fill(0)
  const inputs = new Array<number>(INPUTS).fill(0)
  if (place === 'beer') nodes[layout.beer] = rate
  else if (place === 'wall') nodes[layout.wall] = rate
  else if (place === 'air' && layout.air >= 0) nodes[layout.air] = rate
  else inputs[ROOM_C] = rate
  return { nodes, self: -rate, inputs }
}

function cooledFollower(layout: HeatLayout, sink_W_per_K: number): Follower {
  const nodes = new Array<number>(layout.nodes).fill(0)
  const inputs = new Array<number>(INPUTS).fill(0)
  if (layout.evaporator >= 0) nodes[layout.evaporator] = sink_W_per_K / KILO
  inputs[COLDEST_C] = -sink_W_per_K / KILO
  return { nodes, self: 0, inputs }
}

/** Each node loses C b (T - room), where b is its row's entry for the room. */
function lostFollower(network: HeatNetwork): Follower {
  const conductances = Array.from(
    network.capacities_J_per_K,
    (capacity, node) => (capacity * network.b[node * network.inputs + ROOM_C]!) / KILO,
  )
  const inputs = new Array<number>(INPUTS).fill(0)
  inputs[ROOM_C] = -conductances.reduce((sum, one) => sum + one, 0)
  return { nodes: conductances, self: 0, inputs }
}
