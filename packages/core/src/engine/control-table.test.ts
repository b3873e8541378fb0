import { describe, expect, it } from 'vitest'
import type { ControlSettings } from '../plan/plan.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { compile } from './compile.ts'
import type { ControllerState, EngineState } from './contract.ts'
import { control } from './control.ts'
import { beginDraft } from './draft.ts'
import { initialState } from './initial.ts'
import { Scope } from './scope.ts'
import type { Aim } from './target.ts'
import {
  channel,
  instrument,
  ON_OFF,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
} from './testing/small-house.ts'

/** What each controller wants at one moment, worked out by hand, and how long that stands. */
const NOW_S = 1_800_000_000

const fridge = (part: Partial<Vessel> = {}): Vessel =>
  smallVessel({
    instruments: [
      instrument('Probe', 10, [channel({ quantity: 'beer' })]),
      instrument('Air probe', 10, [channel({ quantity: 'air' })]),
    ],
    // Both act on the air of the cabinet.
    heater: { ...smallVessel().heater!, toWall_W_per_K: 0, toAir_W_per_K: 3 },
    ...part,
  })

interface Given {
  readonly settings?: Partial<ControlSettings>
  /** Of the second stage, in which the batch then is. */
  readonly next?: Partial<ControlSettings>
  readonly beer_C?: number | null
  readonly air_C?: number | null
  readonly controller?: Partial<ControllerState>
  readonly state?: Partial<EngineState>
  readonly vessel?: Vessel
}

function wanted(aim: Partial<Aim>, given: Given = {}) {
  const stages = [stage({ name: 'One', control: { ...ON_OFF, ...given.settings } })]
  if (given.next) stages.push(stage({ name: 'Two', control: { ...ON_OFF, ...given.next } }))
  const program = compile(smallPlan(stages), given.vessel ?? fridge(), smallBeer())
  const values = [given.beer_C === undefined ? 18 : given.beer_C, given.air_C ?? null]
  const before = initialState(program)
  const state: EngineState = {
    ...before,
    batch: 'running',
    stage: given.next ? 1 : 0,
    channels: before.channels.map((each, n) => ({ ...each, value: values[n]!, trusted: values[n] !== null })),
    inCharge: program.quantities.map(({ trust }) => (values[trust[0]!] === null ? -1 : trust[0]!)),
    controller: { ...before.controller, ...given.controller },
    ...given.state,
  }
  const draft = beginDraft(program, state, NOW_S, Scope.of(2))
  const demand = control(draft, { heatTo_C: null, coolTo_C: null, power: null, ...aim })
  const { controller } = draft.state
  return { ...demand, controller, standsFor_s: draft.scope.until_s - NOW_S, before: state.controller }
}

const at = (target_C: number): Partial<Aim> => ({ heatTo_C: target_C, coolTo_C: target_C })
const NOTHING = { heat: false, cool: false, fullHeat: false, fullCool: false }

describe('nothing is wanted', () => {
  const busy: Partial<ControllerState> = {
    wantHeat: true,
    wantCool: true,
    integral: 0.3,
    lastMeasured_C: 18,
    windowFrom_s: NOW_S - 100,
    airTarget_C: 12,
    heatUntil_s: NOW_S + 50,
  }

  it.each([
    ['by the stage', {}, {}],
    ['while the beer is unknown', at(20), { beer_C: null }],
    ['when the batch is stopped', at(20), { state: { batch: 'stopped' } }],
  ] as const)('%s, and what was learned is kept', (_, aim, given) => {
    const { controller, ...demand } = wanted(aim, { ...given, controller: busy })
    expect(demand).toMatchObject(NOTHING)
    expect(controller).toMatchObject({
      wantHeat: false,
      wantCool: false,
      integral: 0.3,
      lastMeasured_C: null,
      windowFrom_s: null,
      airTarget_C: null,
    })
  })

  it.each([{ wantHeat: true }, { wantCool: true }, { windowFrom_s: NOW_S - 100 }])(
    'and the controller comes to rest from %o',
    controller => {
      expect(wanted({}, { controller }).controller).toMatchObject({
        wantHeat: false,
        wantCool: false,
        windowFrom_s: null,
      })
    },
  )

  it('and a controller that is at rest already stays the same object', () => {
    const { controller, before } = wanted({}, { controller: { integral: 0.3 } })
    expect(controller).toBe(before)
  })
})

describe('on-off', () => {
  it.each([
    [17.7, false, true],
    [17.71, false, false],
    [17.99, true, true],
    [18, true, false],
  ])('at %s °C, heating before: %s, heat: %s', (beer_C, wantHeat, heat) => {
    const { controller, ...demand } = wanted(at(18), { beer_C, controller: { wantHeat } })
    expect(demand).toMatchObject({ ...NOTHING, heat, fullHeat: heat })
    expect(controller.wantHeat).toBe(heat)
    expect(demand.standsFor_s).toBe(heat === wantHeat ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY)
  })

  it.each([
    [18.3, false, true],
    [18.29, false, false],
    [18.01, true, true],
    [18, true, false],
  ])('at %s °C, cooling before: %s, cold: %s', (beer_C, wantCool, cool) => {
    const { controller, ...demand } = wanted(at(18), { beer_C, controller: { wantCool } })
    expect(demand).toMatchObject({ ...NOTHING, cool, fullCool: cool })
    expect(controller.wantCool).toBe(cool)
  })

  it('looks at the beer alone, also when the air is known', () => {
    const { controller, ...demand } = wanted(at(18), { beer_C: 17.9, air_C: 2 })
    expect(demand).toMatchObject(NOTHING)
    expect(controller).toMatchObject({ windowFrom_s: null, airTarget_C: null })
  })

  it('with one target only does the one and not the other', () => {
    expect(wanted({ heatTo_C: 18 }, { beer_C: 17 })).toMatchObject({ heat: true, cool: false })
    expect(wanted({ heatTo_C: 18 }, { beer_C: 30 })).toMatchObject({ heat: false, cool: false })
    expect(wanted({ coolTo_C: 18 }, { beer_C: 19 })).toMatchObject({ heat: false, cool: true })
    expect(wanted({ coolTo_C: 18 }, { beer_C: -5 })).toMatchObject({ heat: false, cool: false })
  })

  it('wants nothing of what the vessel does not have', () => {
    const { heater: _heater, ...withoutHeater } = fridge()
    const { cooler: _cooler, ...withoutCooler } = fridge()
    expect(wanted(at(18), { beer_C: 15, vessel: withoutHeater })).toMatchObject(NOTHING)
    expect(wanted(at(18), { beer_C: 21, vessel: withoutCooler })).toMatchObject(NOTHING)
  })

  it.each(['proportional', 'cascade'] as const)(
    'is what a free rise gets with %s, too: between two targets nothing is controlled',
    method => {
      const given = { settings: { method }, air_C: 20 }
      const between = wanted({ heatTo_C: 16, coolTo_C: 22 }, { ...given, beer_C: 19 })
      expect(between).toMatchObject({ ...NOTHING, controller: { windowFrom_s: null } })
      const below = wanted({ heatTo_C: 16, coolTo_C: 22 }, { ...given, beer_C: 15.7 })
      expect(below).toMatchObject({ heat: true, fullHeat: true, controller: { windowFrom_s: null } })
    },
  )
})

describe('proportional: gain 0.3 per K, integral time 40 min, windows of 10 min', () => {
  const settings = { method: 'proportional' } as const

  it('a kelvin too cold: 0.3 and a window of integral, 0.075, which is 225 s of heat', () => {
    const first = wanted(at(18), { settings, beer_C: 17 })
    expect(first).toMatchObject({ ...NOTHING, heat: true, standsFor_s: Number.NEGATIVE_INFINITY })
    expect(first.controller).toMatchObject({
      windowFrom_s: NOW_S,
      heatUntil_s: NOW_S + 225,
      coolUntil_s: NOW_S,
      wantHeat: true,
      wantCool: false,
      stage: 0,
    })
    expect(first.controller.output).toBeCloseTo(0.375, 9)
    expect(first.controller.integral).toBeCloseTo(0.075, 9)
  })

  it('a kelvin too warm: the same of cold, if there is a cooler', () => {
    const warm = wanted(at(18), { settings, beer_C: 19 })
    expect(warm).toMatchObject({ ...NOTHING, cool: true })
    expect(warm.controller).toMatchObject({ coolUntil_s: NOW_S + 225, heatUntil_s: NOW_S, wantCool: true })
    const { cooler: _cooler, ...vessel } = fridge()
    const without = wanted(at(18), { settings, beer_C: 19, vessel })
    expect(without).toMatchObject({ ...NOTHING, controller: { output: 0, integral: 0 } })
    const { heater: _heater, ...withoutHeater } = fridge()
    expect(wanted(at(18), { settings, beer_C: 17, vessel: withoutHeater })).toMatchObject(NOTHING)
    // Left over from before: an appliance that is not there is not wanted.
    const left = { windowFrom_s: NOW_S - 1, coolUntil_s: NOW_S + 50, heatUntil_s: NOW_S + 50 }
    expect(wanted(at(18), { settings, vessel, controller: left })).toMatchObject({ heat: true, cool: false })
  })

  const running = { windowFrom_s: NOW_S - 225, wantHeat: true, output: 0.375 }

  it('keeps to its window: on until its share is used up, then off until the next sample', () => {
    const still = { ...running, windowFrom_s: NOW_S - 224, heatUntil_s: NOW_S + 1 }
    expect(wanted(at(18), { settings, beer_C: 17, controller: still })).toMatchObject({
      heat: true,
      standsFor_s: 1,
    })
    const over = wanted(at(18), { settings, beer_C: 17, controller: { ...running, heatUntil_s: NOW_S } })
    expect(over).toMatchObject({ heat: false, controller: { wantHeat: false } })
    const later = { ...running, wantHeat: false, heatUntil_s: NOW_S - 1 }
    expect(wanted(at(18), { settings, beer_C: 17, controller: later })).toMatchObject({ standsFor_s: 375 })
    const cold = { windowFrom_s: NOW_S - 5, wantCool: true, coolUntil_s: NOW_S + 7 }
    expect(wanted(at(18), { settings, controller: cold })).toMatchObject({ cool: true, standsFor_s: 7 })
    const warmer = { windowFrom_s: NOW_S - 5, wantCool: true, coolUntil_s: NOW_S }
    expect(wanted(at(18), { settings, controller: warmer })).toMatchObject({ cool: false })
  })

  it.each([
    [599, false],
    [600, true],
  ])('is sampled again when the window is over: after %s s: %s', (ago_s, isSampled) => {
    const controller = { ...running, windowFrom_s: NOW_S - ago_s }
    const { windowFrom_s } = wanted(at(18), { settings, beer_C: 17, controller }).controller
    expect(windowFrom_s === NOW_S).toBe(isSampled)
  })

  it('asks for all that there is from an output of 0.95 on, both ways', () => {
    const full = { method: 'proportional', integral_s: 0, gain_per_K: 0.95 } as const
    const almost = { ...full, gain_per_K: 0.94 }
    expect(wanted(at(1), { settings: full, beer_C: 0 })).toMatchObject({ fullHeat: true, fullCool: false })
    expect(wanted(at(1), { settings: almost, beer_C: 0 })).toMatchObject({ heat: true, fullHeat: false })
    expect(wanted(at(0), { settings: full, beer_C: 1 })).toMatchObject({ fullHeat: false, fullCool: true })
    expect(wanted(at(0), { settings: almost, beer_C: 1 })).toMatchObject({ cool: true, fullCool: false })
  })

  it('goes on without a bump when the settings change with the stage, and only then', () => {
    const controller = {
      stage: 0,
      output: 0.6,
      integral: 0.15,
      windowFrom_s: NOW_S - 600,
      lastMeasured_C: 17,
    }
    const given = { settings, beer_C: 17, controller }
    // The same output as before, 0.6, and a window of integral: 0.4 · 1 K · 600 s / 2400 s.
    const changed = wanted(at(18), { ...given, next: { ...settings, gain_per_K: 0.4 } })
    expect(changed.controller.output).toBeCloseTo(0.7, 9)
    expect(changed.controller.stage).toBe(1)
    const same = wanted(at(18), { ...given, next: settings })
    expect(same.controller.output).toBeCloseTo(0.3 + 0.15 + 0.075, 9)
    const first = wanted(at(18), { ...given, controller: { ...controller, stage: -1 } })
    expect(first.controller.output).toBeCloseTo(0.3 + 0.15 + 0.075, 9)
  })

  it.each([
    [1199, 0.3 + (0.3 * 1199) / 2400],
    [1200, 0.375],
    [9000, 0.375],
  ])(
    'counts the error of %s s since its last sample, but not of a whole window in which it was not asked',
    (ago_s, output) => {
      const controller = { windowFrom_s: NOW_S - ago_s, lastMeasured_C: 17 }
      expect(wanted(at(18), { settings, beer_C: 17, controller }).controller.output).toBeCloseTo(output, 9)
    },
  )

  it('knows no slope after such a while', () => {
    const slope = { ...settings, derivative_s: 300, integral_s: 0 }
    const near = { windowFrom_s: NOW_S - 600, lastMeasured_C: 16 }
    // 0.3 · (1 − 300 s · 1 K / 600 s)
    expect(wanted(at(18), { settings: slope, beer_C: 17, controller: near }).controller.output).toBeCloseTo(
      0.15,
      9,
    )
    const far = { windowFrom_s: NOW_S - 1200, lastMeasured_C: 16 }
    expect(wanted(at(18), { settings: slope, beer_C: 17, controller: far }).controller.output).toBeCloseTo(
      0.3,
      9,
    )
  })
})

describe('a share of power, whatever is measured', () => {
  it('is on for its share of each window, and begins anew when the share changes', () => {
    const begun = wanted({ power: 0.5 }, { beer_C: 100 })
    expect(begun).toMatchObject({ ...NOTHING, heat: true })
    expect(begun.controller).toMatchObject({
      output: 0.5,
      windowFrom_s: NOW_S,
      heatUntil_s: NOW_S + 300,
      lastMeasured_C: null,
    })
    const going = { output: 0.5, windowFrom_s: NOW_S - 200, heatUntil_s: NOW_S + 100, wantHeat: true }
    expect(wanted({ power: 0.5 }, { controller: going })).toMatchObject({
      heat: true,
      standsFor_s: 100,
      controller: going,
    })
    expect(wanted({ power: 1 }, { controller: going })).toMatchObject({
      fullHeat: true,
      controller: { windowFrom_s: NOW_S, heatUntil_s: NOW_S + 600 },
    })
  })
})

describe('a cascade: gain 4, the air from −2 to 30 °C', () => {
  const settings = { method: 'cascade' } as const

  it('has the air at 23 °C for a beer a kelvin too cold, and the appliances follow the air', () => {
    const warm = wanted(at(18), { settings, beer_C: 17, air_C: 22.7 })
    expect(warm).toMatchObject({ ...NOTHING, heat: true, fullHeat: true })
    expect(warm.controller).toMatchObject({
      airTarget_C: 23,
      windowFrom_s: NOW_S,
      stage: 0,
      lastMeasured_C: 17,
    })
    expect(wanted(at(18), { settings, beer_C: 17, air_C: 22.8 })).toMatchObject(NOTHING)
    expect(wanted(at(18), { settings, beer_C: 17, air_C: 23.3 })).toMatchObject({ heat: false, cool: true })
  })

  it('keeps that for a window, and then looks again', () => {
    const controller = { windowFrom_s: NOW_S - 100, airTarget_C: 25, integral: 1 }
    const going = wanted(at(18), { settings, beer_C: 17, air_C: 25, controller })
    expect(going).toMatchObject({ ...NOTHING, standsFor_s: 500, controller })
    const next = { ...controller, windowFrom_s: NOW_S - 600 }
    expect(wanted(at(18), { settings, beer_C: 17, air_C: 25, controller: next }).controller).toMatchObject({
      windowFrom_s: NOW_S,
      airTarget_C: 24,
    })
    // Half a window more: 4 · 1 K · 900 s / 2400 s.
    const late = { ...controller, windowFrom_s: NOW_S - 900, integral: 0 }
    expect(
      wanted(at(18), { settings, beer_C: 17, air_C: 25, controller: late }).controller.airTarget_C,
    ).toBeCloseTo(23.5, 9)
  })

  it('has appliances that act on the beer follow the beer', () => {
    const vessel = fridge({
      heater: { ...smallVessel().heater!, toWall_W_per_K: 3, toAir_W_per_K: 0 },
      cooler: { ...smallVessel().cooler!, toBeer_W_per_K: 5, toAir_W_per_K: 0 },
    })
    const given = { settings, vessel }
    expect(wanted(at(18), { ...given, beer_C: 17, air_C: 29 })).toMatchObject({ heat: true, cool: false })
    expect(wanted(at(18), { ...given, beer_C: 17.8, air_C: 0 })).toMatchObject(NOTHING)
    expect(wanted(at(18), { ...given, beer_C: 19, air_C: 0 })).toMatchObject({ heat: false, cool: true })
    expect(wanted(at(18), { ...given, beer_C: 18.2, air_C: 29 })).toMatchObject(NOTHING)
  })

  it('wants nothing of what the vessel does not have', () => {
    const { heater: _heater, ...withoutHeater } = fridge()
    const { cooler: _cooler, ...withoutCooler } = fridge()
    expect(wanted(at(18), { settings, beer_C: 17, air_C: 10, vessel: withoutHeater })).toMatchObject(NOTHING)
    expect(wanted(at(18), { settings, beer_C: 17, air_C: 29, vessel: withoutCooler })).toMatchObject(NOTHING)
  })

  it('is on-off by the beer while the air is unknown', () => {
    const blind = wanted(at(18), { settings, beer_C: 17 })
    expect(blind).toMatchObject({ heat: true, fullHeat: true, controller: { windowFrom_s: null } })
  })

  it('never has the air outside what the plan allows', () => {
    expect(wanted(at(18), { settings, beer_C: 5, air_C: 10 }).controller.airTarget_C).toBe(30)
    expect(wanted(at(18), { settings, beer_C: 28, air_C: 10 }).controller.airTarget_C).toBe(-2)
  })
})
