import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readVessel } from './read-vessel.ts'
import type { Vessel } from './vessel.ts'

function mustRead(text: string): Vessel {
  const { vessel, findings } = readVessel(text, 'test.yaml')
  expect(findings).toEqual([])
  return vessel!
}

function example(name: string): Vessel {
  return mustRead(readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8'))
}

const SHORT = `vessel: Short
beer: 20 L
room: { average: 18 °C }
instruments:
  - { instrument: Probe, every: 5 s, measures: { beer: } }
`

describe('the examples', () => {
  test('garage-fridge.vessel.yaml: a bucket in a refrigerator with a heating belt', () => {
    const vessel = example('garage-fridge.vessel.yaml')
    expect(vessel.heat).toEqual({
      cabinet: true,
      beerToWall_W_per_K: { value: 12, sd: 12 * 0.2 },
      wall_J_per_K: { value: 3000, sd: 600 },
      wallToAir_W_per_K: { value: 4, sd: 0.8 },
      air_J_per_K: { value: 9000, sd: 2700 },
      airToRoom_W_per_K: { value: 1.6, sd: 1.6 * 0.15 },
    })
    expect(vessel.room).toEqual({
      mean_C: { value: 14, sd: 3 },
      swing_K: { value: 3, sd: 1 },
      warmestAt_s: 57600,
    })
    expect(vessel.heater).toMatchObject({
      power_W: { value: 30, sd: 1.5 },
      toWall_W_per_K: 3,
      toAir_W_per_K: 0.5,
    })
    expect(vessel.cooler).toMatchObject({ coldest_C: -18, restsAtLeast_s: 300, runsAtLeast_s: 180 })
    expect(vessel.trust).toMatchObject({ beer: ['Probe', 'Float'], air: ['Air probe'], gravity: ['Float'] })
    // Three times 4000 J/K over 8 W/K, and the probe's 60 s.
    expect(vessel.interlocks).toMatchObject({ changeover_s: 1560, lease_s: 900 })
    const float = vessel.instruments[2]!
    expect(float).toMatchObject({ name: 'Float', every_s: 1800, outages: { perDay: 0.2, length_s: 7200 } })
    expect(float.channels).toMatchObject([
      { quantity: 'gravity', unit: 'SG', noise: 0.0007, bias: { value: 0, sd: 0.0015 }, foam: 0.003 },
      { quantity: 'beer', unit: '°C', sits: 'beer', noise: 0.1, lag_s: 600 },
    ])
    expect(float.places.every).toMatchObject({ line: 39, column: 12, length: 6 })
  })

  test('bucket-with-pad.vessel.yaml: no cabinet, no cooler, a hydrometer read by hand', () => {
    const vessel = example('bucket-with-pad.vessel.yaml')
    expect(vessel.heat).toMatchObject({
      cabinet: false,
      wallToAir_W_per_K: { value: 3.7 },
      air_J_per_K: { value: 0, sd: 0 },
      airToRoom_W_per_K: { value: 0, sd: 0 },
    })
    expect(vessel.cooler).toBeUndefined()
    expect(vessel.trust.gravity).toEqual(['Float', 'Hydrometer'])
    expect(vessel.instruments[2]).toMatchObject({
      byHand: true,
      every_s: 172800,
      channels: [{ foam: 0, lag_s: 0 }],
    })
    expect(vessel.control).toMatchObject({
      method: 'on-off',
      heatStart_K: 0.3,
      heatStop_K: 0.1,
      coolStart_K: 0.3,
    })
  })

  test('electric-kettle.vessel.yaml: settings by the SIMC rule', () => {
    const { control, heater, volume_L } = example('electric-kettle.vessel.yaml')
    // Skogestad, J. Process Control 13 (2003) 291, integrating process: Kc = 1/(k'(τc + θ)), Ti = 4(τc + θ). Here
    // k' = power / heat capacity with 4.19 kJ/(kg K) for the mash, θ = 60 s and τc = 120 s.
    const rise_K_per_s = heater!.power_W.value / (volume_L.value * 4190)
    expect(control.gain_per_K).toBeCloseTo(1 / (rise_K_per_s * 180), 1)
    expect(control.integral_s).toBe(4 * 180)
  })
})

describe('a short vessel file', () => {
  test('has usual values for all the rest', () => {
    const vessel = mustRead(SHORT)
    expect(vessel.heat.cabinet).toBe(false)
    expect(vessel.heater).toBeUndefined()
    expect(vessel.control).toMatchObject({
      method: 'on-off',
      heatStart_K: 0.3,
      coolStart_K: 0.3,
      gain_per_K: 0.3,
    })
    expect(vessel.control).toMatchObject({ integral_s: 2400, derivative_s: 0, window_s: 60, reached_K: 0.5 })
    expect(vessel.interlocks).toMatchObject({
      changeover_s: 60,
      lease_s: 900,
      disagree_K: 1,
      disagree_SG: 0.005,
    })
    expect(vessel.instruments[0]?.channels).toMatchObject([
      {
        quantity: 'beer',
        sits: 'beer',
        noise: 0.03,
        resolution: 0.0625,
        lag_s: 60,
        lowest: -30,
        highest: 130,
      },
    ])
  })

  test('a bare bucket loses heat through its surface', () => {
    // Bare vessel in still air 7 to 12 W/(m² K) (from memory); 20 L in a cylinder have 0.40 to 0.43 m².
    const { value, sd } = mustRead(SHORT).heat.wallToAir_W_per_K
    expect(value - sd).toBeGreaterThan(7 * 0.39)
    expect(value + sd).toBeLessThan(12 * 0.43)
  })

  test('a cooler that cools air stands in a cabinet; a coil in the beer does not need one', () => {
    const fridge = mustRead(`${SHORT}cooler: { power: 90 W }\n`)
    expect(fridge.heat).toMatchObject({
      cabinet: true,
      air_J_per_K: { value: 9000 },
      airToRoom_W_per_K: { value: 1.6 },
    })
    expect(fridge.cooler).toMatchObject({ toAir_W_per_K: 6, toBeer_W_per_K: 0, restsAtLeast_s: 300 })
    const coil = mustRead(`${SHORT}cooler: { power: 300 W, to beer: 40 W/°C }\n`)
    expect(coil.heat.cabinet).toBe(false)
    expect(coil.cooler).toMatchObject({ toAir_W_per_K: 0, toBeer_W_per_K: 40 })
  })

  test('a class B thermometer (IEC 60751) may be wrong by 0.30 K at 0 °C', () => {
    const bias = mustRead(SHORT).instruments[0]!.channels[0]!.bias
    expect(bias.sd).toBeCloseTo(0.3 / Math.sqrt(3), 2)
  })

  test('trust puts the named instruments first', () => {
    const text = SHORT.replace(
      'instruments:',
      'trust: { beer: [B] }\ninstruments:\n  - { instrument: A, every: 5 s, measures: { beer: {} } }\n  - { instrument: B, every: 5 s, measures: { beer: {} } }',
    )
    expect(mustRead(text).trust.beer).toEqual(['B', 'A', 'Probe'])
  })

  test('each quantity can be measured, wherever a thermometer sits', () => {
    const text = SHORT.replace(
      'beer: }',
      'beer: { sits: wall }, air: { sits: room }, pressure: {}, pH: {}, humidity: {}, power: {} }',
    )
    expect(
      mustRead(text).instruments[0]?.channels.map(({ quantity, unit, sits }) => [quantity, unit, sits]),
    ).toEqual([
      ['beer', '°C', 'wall'],
      ['air', '°C', 'room'],
      ['pressure', 'Pa', 'beer'],
      ['pH', '', 'beer'],
      ['humidity', '%', 'beer'],
      ['power', 'W', 'beer'],
    ])
  })

  test('everything else can be said', () => {
    const vessel = mustRead(`${SHORT}
heater: { power: 30 W, rests at least: 1 min, runs at least: 30 s, lost commands: 1 %, to beer: 5 W/°C }
interlocks:
  changeover: 20 min
  command lasts: 5 min
  heater answers within: 2 h
  cooler answers within: 3 h
  answer: 0.2 °C
  temperatures agree within: 0.8 °C
  gravities agree within: 4 points
`)
    expect(vessel.heater).toMatchObject({
      restsAtLeast_s: 60,
      runsAtLeast_s: 30,
      lostCommands: 0.01,
      toBeer_W_per_K: 5,
      toWall_W_per_K: 0,
      toAir_W_per_K: 0,
    })
    expect(vessel.interlocks).toEqual({
      changeover_s: 1200,
      lease_s: 300,
      heaterResponse_s: 7200,
      coolerResponse_s: 10800,
      response_K: 0.2,
      disagree_K: 0.8,
      disagree_SG: 0.004,
    })
  })
})

describe('a thermostat', () => {
  const withIt = (thermostat: string, appliances = 'cooler: { power: 90 W }\n') =>
    `${SHORT}${appliances}thermostat: ${thermostat}\n`

  test('usual values, and those that are given', () => {
    expect(mustRead(withIt('{}')).thermostat).toMatchObject({
      follows: 'beer',
      hysteresis_K: 0.5,
      lowest_C: 0,
      highest_C: 30,
      resolution_K: 0.1,
      whenUnheard: 'off',
      bias: { value: 0, sd: 0.3 },
      lag_s: 60,
      lostCommands: 0,
    })
    const given =
      '{ follows: air, hysteresis: 2 °F, lowest: -5 °C, highest: 25 °C, resolution: 0.5 °C, when unheard: keeps its target, bias: -0.2 °C ± 0.1 °C }'
    const { thermostat } = mustRead(withIt(given))
    expect(thermostat).toMatchObject({ follows: 'air', lowest_C: -5, whenUnheard: 'keeps its target' })
    expect(thermostat!.hysteresis_K).toBeCloseTo(10 / 9, 9)
    expect(thermostat!.bias).toEqual({ value: -0.2, sd: 0.1 })
    expect(mustRead(SHORT).thermostat).toBeUndefined()
  })

  test('needs something to switch, air to follow, and a range', () => {
    const codes = (text: string) =>
      readVessel(text, 'test.yaml').findings.map(({ code, line }) => [code, line])
    expect(codes(withIt('{}', ''))).toEqual([['no-effect', 6]])
    expect(codes(withIt('{ follows: air }', 'heater: { power: 30 W }\n'))).toEqual([['no-heat-path', 7]])
    expect(codes(withIt('{ lowest: 20 °C, highest: 20 °C }'))).toEqual([['reversed-range', 7]])
    expect(codes(withIt('{ hysteresis: 0 °C }'))).toEqual([['out-of-range', 7]])
    // A cooler that can not be read is there all the same.
    expect(codes(withIt('{}', 'cooler: { power: 90 }\n'))).toEqual([['missing-unit', 6]])
  })
})
