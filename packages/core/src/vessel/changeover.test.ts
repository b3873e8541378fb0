import { expect, test } from 'vitest'
import { readVessel } from './read-vessel.ts'

const text = (heater: string, cooler: string, lag: string) => `
vessel: Fridge
beer: 20 L
room: { average: 18 °C }
heater: { power: 30 W, ${heater} }
cooler: { power: 100 W, ${cooler} }
instruments:
  - instrument: Float
    every: 30 min
    measures: { gravity: {}, beer: { lag: 10 min } }
  - instrument: Probe
    every: 5 s
    measures: { beer: { lag: ${lag} } }
trust: { beer: [Probe, Float] }
`

const changeover_s = (...parts: [string, string, string]) =>
  readVessel(text(...parts), 'vessel').vessel?.interlocks.changeover_s

// First-order run-down: 95 % of what a store holds is gone after three time constants, 3 C / (sum of its conductances).
test.each([
  [
    'the evaporator holds longer',
    'stores: 0.4 kJ/°C, to wall: 4 W/°C',
    'stores: 4 kJ/°C, to air: 10 W/°C',
    '60 s',
    1200 + 60,
  ],
  [
    'the element holds longer',
    'stores: 2 kJ/°C, to wall: 4 W/°C, to air: 1 W/°C',
    'stores: 1 kJ/°C, to air: 10 W/°C',
    '0 s',
    1200,
  ],
  [
    'the probe in charge is slow',
    'stores: 0.4 kJ/°C, to wall: 4 W/°C',
    'stores: 1 kJ/°C, to air: 10 W/°C',
    '5 min',
    300 + 300,
  ],
  ['in full minutes', 'stores: 0.4 kJ/°C, to wall: 4 W/°C', 'stores: 1 kJ/°C, to air: 10 W/°C', '10 s', 360],
] as const)(
  'without a word in the file, the vessel tells its changeover: %s',
  (_what, heater, cooler, lag, expected_s) => {
    expect(changeover_s(heater, cooler, lag)).toBe(expected_s)
  },
)
