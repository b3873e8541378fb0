import { expect, test } from 'vitest'
import published from '../../../../../test/published/data/heat-network.json' with { type: 'json' }
import { Anchor } from './anchor.ts'
import { HeatNetwork, NODES } from './network.ts'
import { StepTable } from './step-table.ts'

const HEATER = 0
const ROOM = 1

/** A thermostat that looks at every second; returns the last whole cycle, times in minutes. */
function cycle(T1_min: number, T2_min: number, Y_off: number, Y_on: number, lo: number, hi: number) {
  const network = new HeatNetwork([T1_min * 60])
  network.joinInput(0, ROOM, 1)
  network.heat(0, HEATER)
  const rate = T2_min > 0 ? 1 / (60 * T2_min) : 0
  const table = new StepTable(network, [{ nodes: [rate, 0, 0, 0, 0], self: -rate, inputs: [0, 0, 0, 0] }])
  const row = T2_min > 0 ? NODES : 0
  const anchor = new Anchor(0, table, new Float64Array(NODES + 1).fill(lo), Float64Array.of(0, Y_off, 0, 0))
  let on = false
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  const switched_s: number[] = []
  for (let t_s = 1; switched_s.length < 12; t_s++) {
    anchor.move(1)
    const value = anchor.valueAt(row, t_s)
    const wanted: boolean = on ? value < hi : value <= lo
    if (switched_s.length >= 8) {
      least = Math.min(least, value)
      most = Math.max(most, value)
    }
    if (wanted !== on) {
      on = wanted
      anchor.inputs[HEATER] = on ? Y_on - Y_off : 0
      anchor.changed(table)
      switched_s.push(t_s)
    }
  }
  return { least, most, period_min: (switched_s[10]! - switched_s[8]!) / 60 }
}

/** |a - b| within 1 % of b. */
function expectWithin1Percent(a: number, b: number): void {
  expect(Math.abs(a - b)).toBeLessThan(0.01 * Math.abs(b))
}

test('on/off control of a first-order vessel: amplitude and period of the closed form', () => {
  const { inputs, exact } = published.firstOrder
  const { least, most, period_min } = cycle(inputs.T, 0, inputs.Y_off, inputs.Y_on, inputs.lo, inputs.hi)
  expectWithin1Percent(most - least, exact.y_max - exact.y_min)
  expectWithin1Percent(period_min, exact.period)
})

test('with the lag of a thermometer: the closed form for two time constants', () => {
  const { inputs, exact } = published.twoTimeConstants
  const { least, most, period_min } = cycle(
    inputs.T1,
    inputs.T2,
    inputs.Y_off,
    inputs.Y_on,
    inputs.lo,
    inputs.hi,
  )
  expectWithin1Percent(most - least, exact.y_max - exact.y_min)
  expectWithin1Percent(period_min, exact.period)
})
