import { expect, test } from 'vitest'
import published from '../../../../../test/published/data/heat-network.json' with { type: 'json' }
import { drawFor } from '../../random/draw.ts'
import { drawPlant } from '../plant.ts'
import { ale, fridge } from '../testing/vessels.ts'
import { matrixExponential } from './matrix-exponential.ts'
import { HeatNetwork, NODES } from './network.ts'
import { COARSE_STEPS, FINE_S, FIRST_INPUT, LONGEST_S, SELF, SPAN, StepTable, WIDTH } from './step-table.ts'
import { Stretch } from './stretch.ts'
import { ROOM_C, vesselSteps } from './vessel-network.ts'

/** The worked example of the published data: beer, wall with its air, heating pad; inputs in the order of the example. */
function threeNodes(): HeatNetwork {
  const { C_J_per_K: C, G_W_per_K: G } = published.threeNodes
  const network = new HeatNetwork([C.beer, C.wall_air, C.pad])
  network.join(0, 1, G.beer_wall)
  network.join(2, 0, G.pad_beer)
  network.join(2, 1, G.pad_wall)
  network.heat(2, 0)
  network.heat(1, 1, -1)
  network.joinInput(1, 2, G.wall_ambient)
  network.heat(0, 3)
  return network
}

function randomSteps(run: number): StepTable {
  const vessel = fridge()
  const plant = drawPlant(vessel, ale(), drawFor(7, run))
  return vesselSteps(vessel, plant, [{ lag_s: 60 }, { lag_s: 0 }, { lag_s: 600 }], {
    coolerOn: run % 2 === 0,
    boiling: false,
    doorFactor: run % 3 === 0 ? 20 : 1,
    places: ['beer', 'air', 'room'],
  })
}

test('a minute of the worked example, matrix by matrix', () => {
  const { fine, rows } = new StepTable(threeNodes(), [])
  const { Ad, Bd } = published.threeNodes
  for (let r = 0; r < 3; r++) {
    const at = (FINE_S * rows + r) * WIDTH
    for (let c = 0; c < 3; c++) expect(Math.abs(fine[at + c]! - Ad[r]![c]!)).toBeLessThan(1e-9)
    for (let u = 0; u < 4; u++) expect(Math.abs(fine[at + FIRST_INPUT + u]! - Bd[r]![u]!)).toBeLessThan(1e-9)
  }
})

test('the worked example over an hour, minute by minute and in leaps of five', () => {
  const { x0, u, k, x } = published.threeNodes.simulate
  const table = new StepTable(threeNodes(), [])
  for (const leap_s of [60, 300]) {
    const stretch = new Stretch(table.rows, 0, table)
    stretch.state.set(x0)
    stretch.inputs.set(u)
    const next = new Float64Array(table.rows)
    for (let t_s = leap_s; t_s <= 3600; t_s += leap_s) {
      stretch.stateAfter(leap_s, next)
      stretch.state.set(next)
      stretch.restart(table)
      const expected = x[k.indexOf(t_s / 60)]
      // The published states carry ten decimals.
      if (expected !== undefined) {
        for (let n = 0; n < 3; n++) expect(Math.abs(next[n]! - expected[n]!)).toBeLessThan(1e-9)
      }
    }
  }
})

test('first order: the closed form', () => {
  const network = new HeatNetwork([84_000])
  network.joinInput(0, 0, 21)
  const stretch = new Stretch(NODES, 0, new StepTable(network, []))
  stretch.state[0] = 30
  stretch.inputs[0] = 10
  for (const k of [0, 1, 59, 60, 61, 299, 300]) {
    expect(stretch.value(0, k)).toBeCloseTo(10 + 20 * Math.exp(-k / 4000), 11)
  }
})

test('two short steps are one of twice the length', () => {
  for (let run = 0; run < 20; run++) {
    const { fine, rows } = randomSteps(run)
    for (let r = 0; r < rows; r++) {
      for (let c = 0; c < NODES; c++) {
        let sum = fine[(30 * rows + r) * WIDTH + SELF]! * (r < NODES ? 0 : fine[(30 * rows + r) * WIDTH + c]!)
        for (let i = 0; i < NODES; i++) {
          sum += fine[(30 * rows + r) * WIDTH + i]! * fine[(30 * rows + i) * WIDTH + c]!
        }
        expect(fine[(60 * rows + r) * WIDTH + c]!).toBeCloseTo(sum, 12)
      }
    }
  }
})

test('when all is as warm as the room it stays so: temperatures in a row sum to one', () => {
  for (let run = 0; run < 20; run++) {
    const { fine, coarse, rows } = randomSteps(2 * run + 1)
    for (const [table, steps] of [
      [fine, FINE_S],
      [coarse, COARSE_STEPS],
    ] as const) {
      for (let k = 0; k <= steps; k++) {
        // Nodes and thermometers; the two counters are no temperatures.
        for (let r = 0; r < rows - 2; r++) {
          const at = (k * rows + r) * WIDTH
          let sum = r < NODES ? 0 : table[at + SELF]!
          for (let c = 0; c < NODES; c++) sum += table[at + c]!
          expect(sum + table[at + FIRST_INPUT + ROOM_C]!).toBeCloseTo(1, 11)
        }
      }
    }
  }
})

test('no follower gets further than its reach', () => {
  const draw = drawFor(11, 0)
  for (let run = 0; run < 40; run++) {
    const table = randomSteps(run)
    const stretch = new Stretch(table.rows, 0, table)
    for (let r = 0; r < table.rows; r++) stretch.state[r] = 40 * draw.uniform() - 10
    stretch.inputs.set([100 * draw.uniform(), 30 * draw.uniform(), 20 * draw.uniform(), -18])
    const changes = stretch.nodeChangesAtMinute(0).slice()
    let tight = 0
    for (let row = NODES; row < table.rows - 2; row++) {
      let rise = 0
      let fall = 0
      for (let c = 0; c < SPAN; c++) {
        const change = c === SELF ? stretch.changeAtMinute(row, 0) : changes[c]!
        const part = table.longReach[row * SPAN + c]! * change
        if (part > 0) rise += part
        else fall -= part
      }
      const start = stretch.value(row, 0)
      for (let k = 0; k <= LONGEST_S; k++) {
        const moved = stretch.value(row, k) - start
        expect(moved).toBeLessThanOrEqual(rise + 1e-9)
        expect(moved).toBeGreaterThanOrEqual(-fall - 1e-9)
        if (Math.abs(moved) > 0.9 * Math.max(rise, fall)) tight++
      }
    }
    // A bound that is never nearly reached would be useless.
    if (run === 0) expect(tight).toBeGreaterThan(0)
  }
})

test('a stiff matrix: fast and slow modes together', () => {
  // exp of [[-1, 1], [0, -1000]] t: upper right (e^-t - e^-1000t) / 999.
  const result = matrixExponential(Float64Array.of(-1, 1, 0, -1000), 2, 0.5)
  expect(result[0]).toBeCloseTo(Math.exp(-0.5), 13)
  expect(result[1]).toBeCloseTo(Math.exp(-0.5) / 999, 13)
  expect(result[3]).toBeCloseTo(0, 13)
})
