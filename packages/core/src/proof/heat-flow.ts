import type { Vessel } from '../vessel/vessel.ts'

/**
 * What a vessel's heater and cooler can do to the beer, from its thermal network in steady flow: everything but the
 * beer is taken to have settled, the room at its mean. So a rate is what the vessel can keep up, not its first minutes.
 * The heat of fermentation is left out.
 */
export interface HeatFlow {
  /** Beer and wall together, J/K. */
  readonly capacity_J_per_K: number
  /** Net heat into the beer at this beer temperature, W; negative when it cools. */
  flow_W(beer_C: number): number
  /** The temperature at which the beer comes to rest, °C. */
  readonly rest_C: number
}

/**
 * Specific heat times density of beer, J/(K·L): water has 4180, a wort of 12 °P 3.9 kJ/(kg·K) × 1.048 kg/L = 4090; the two
 * factors nearly cancel, so that one number does for all beers within 3 %.
 */
const BEER_J_PER_K_L = 4130

export function heatFlow(vessel: Vessel, volume_L: number, on: 'heater' | 'cooler' | 'nothing'): HeatFlow {
  const { heat, heater, cooler } = vessel
  const room = vessel.room.mean_C.value
  const beerWall = heat.beerToWall_W_per_K.value
  const wallAir = heat.wallToAir_W_per_K.value
  const airRoom = heat.airToRoom_W_per_K.value
  const power = on === 'heater' && heater ? heater.power_W.value : 0
  // The evaporator gives its heat to a refrigerant that reaches the coldest temperature when nothing loads it.
  const pull = on === 'cooler' && cooler ? cooler.power_W.value / Math.max(1, 20 - cooler.coldest_C) : 0

  const net = (beer_C: number): number => {
    // Unknown: wall, air, element, evaporator. Each row: sum of conductances × own temperature − neighbours = sources.
    const rows = [0, 1, 2, 3].map(() => [0, 0, 0, 0, 0])
    const join = (a: number, b: number, conductance: number) => {
      rows[a]![a]! += conductance
      rows[b]![b]! += conductance
      rows[a]![b]! -= conductance
      rows[b]![a]! -= conductance
    }
    const tie = (a: number, fixed_C: number, conductance: number) => {
      rows[a]![a]! += conductance
      rows[a]![4]! += conductance * fixed_C
    }
    const [wall, air, element, evaporator] = [0, 1, 2, 3] as const
    tie(wall, beer_C, beerWall)
    if (heat.cabinet) {
      join(wall, air, wallAir)
      tie(air, room, airRoom)
    } else {
      tie(wall, room, wallAir)
      tie(air, room, 1e6)
    }
    if (heater) {
      tie(element, beer_C, heater.toBeer_W_per_K)
      join(element, wall, heater.toWall_W_per_K)
      join(element, air, heater.toAir_W_per_K)
      rows[element]![4]! += power
    }
    if (cooler) {
      tie(evaporator, beer_C, cooler.toBeer_W_per_K)
      join(evaporator, air, cooler.toAir_W_per_K)
      tie(evaporator, cooler.coldest_C, pull)
    }
    const [wall_C, , element_C, evaporator_C] = solve(rows, beer_C)
    return (
      beerWall * (wall_C! - beer_C) +
      (heater ? heater.toBeer_W_per_K * (element_C! - beer_C) : 0) +
      (cooler ? cooler.toBeer_W_per_K * (evaporator_C! - beer_C) : 0)
    )
  }

  // The network is linear, so that two points give the whole line.
  const at0_W = net(0)
  const slope = net(1) - at0_W
  return {
    capacity_J_per_K: volume_L * BEER_J_PER_K_L + heat.wall_J_per_K.value,
    flow_W: beer_C => at0_W + slope * beer_C,
    rest_C: slope === 0 ? room : -at0_W / slope,
  }
}

/** Gauss with row exchange on rows of [coefficients..., right side]; a node that nothing is tied to gets `idle`. */
function solve(rows: number[][], idle: number): number[] {
  const size = rows.length
  for (let column = 0; column < size; column++) {
    let best = column
    for (let row = column + 1; row < size; row++)
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[best]![column]!)) best = row
    const pivotRow = rows[best]!
    rows[best] = rows[column]!
    rows[column] = pivotRow
    if (Math.abs(pivotRow[column]!) < 1e-12) {
      pivotRow.fill(0)
      pivotRow[column] = 1
      pivotRow[size] = idle
    }
    for (let row = column + 1; row < size; row++) {
      const factor = rows[row]![column]! / pivotRow[column]!
      if (factor === 0) continue
      for (let k = column; k <= size; k++) rows[row]![k]! -= factor * pivotRow[k]!
    }
  }
  const answer = new Array<number>(size).fill(idle)
  for (let row = size - 1; row >= 0; row--) {
    let right = rows[row]![size]!
    for (let k = row + 1; k < size; k++) right -= rows[row]![k]! * answer[k]!
    answer[row] = right / rows[row]![row]!
  }
  return answer
}

/** How fast the beer's temperature changes at this temperature, K/s; positive when it rises. */
export function rate_K_per_s(flow: HeatFlow, beer_C: number): number {
  return flow.flow_W(beer_C) / flow.capacity_J_per_K
}

/** Time at full power from one temperature to another, s; Infinity when the vessel never gets there. */
export function travelTime_s(flow: HeatFlow, from_C: number, to_C: number): number {
  const start = from_C - flow.rest_C
  const end = to_C - flow.rest_C
  if (start === end) return 0
  // An exponential approach to the resting temperature: only what lies between here and there can be reached.
  if (start * end <= 0 || Math.abs(end) >= Math.abs(start)) return Number.POSITIVE_INFINITY
  const slope_W_per_K = -(flow.flow_W(flow.rest_C + 1) - flow.flow_W(flow.rest_C))
  return (flow.capacity_J_per_K / slope_W_per_K) * Math.log(start / end)
}
