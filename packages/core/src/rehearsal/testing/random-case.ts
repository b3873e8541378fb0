import fc from 'fast-check'
import type { Beer } from '../../beer/beer.ts'
import {
  channel,
  instrument,
  ON_OFF,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from '../../engine/testing/small-house.ts'
import type { Condition, ControlSettings, Plan, Stage } from '../../plan/plan.ts'
import type { Thermostat, Vessel } from '../../vessel/vessel.ts'
import type { Fault } from '../../world/faults/fault.ts'

/** A plant, a plan and faults, in which much happens within hours: a lively yeast, small vessels, short stages. */
export interface RandomCase {
  readonly vessel: Vessel
  readonly beer: Beer
  readonly plan: Plan
  readonly faults: readonly Fault[]
  readonly seed: number
  readonly hours: number
}

const MINUTE_S = 60
const HOUR_S = 3600
const START_S = smallBeer().start.local_s

const uncertain = (least: number, most: number) =>
  fc.double({ min: least, max: most, noNaN: true }).map(value => ({ value, sd: value * 0.1 }))

const thermostat: fc.Arbitrary<Thermostat> = fc.record({
  follows: fc.constantFrom('beer', 'air'),
  hysteresis_K: fc.constantFrom(0.1, 0.5, 1),
  lowest_C: fc.constantFrom(-5, 5),
  highest_C: fc.constantFrom(20, 30),
  resolution_K: fc.constantFrom(0.1, 0.5, 1),
  whenUnheard: fc.constantFrom('off', 'keeps its target'),
  bias: fc.constantFrom({ value: 0, sd: 0 }, { value: 0.5, sd: 0.5 }),
  lag_s: fc.constantFrom(0, 60, 600),
  lostCommands: fc.constantFrom(0, 0, 0.2),
  place: fc.constant(PLACE),
})

const vessel = fc
  .record({
    probeEvery_s: fc.constantFrom(1, 2, 5, 10, 17, 60),
    noise: fc.constantFrom(0, 0.02, 0.1),
    resolution: fc.constantFrom(0, 0.01, 0.0625),
    lag_s: fc.constantFrom(0, 20, 120),
    outagesPerDay: fc.constantFrom(0, 0, 10),
    floatEvery_s: fc.constantFrom(300, 900, 1800),
    timeout_s: fc.constantFrom(undefined, 130),
    hasFloat: fc.boolean(),
    cabinet: fc.boolean(),
    heaterPower_W: uncertain(10, 80),
    coolerPower_W: uncertain(30, 120),
    volume_L: uncertain(2, 25),
    roomMean_C: uncertain(5, 30),
    hasCooler: fc.boolean(),
    restsAtLeast_s: fc.constantFrom(0, 180, 300),
    lostCommands: fc.constantFrom(0, 0, 0.2),
    changeover_s: fc.constantFrom(0, 60, 600),
    lease_s: fc.constantFrom(60, 300, 900),
    response_s: fc.constantFrom(0, 30 * MINUTE_S, 2 * HOUR_S),
    thermostat: fc.oneof(
      { weight: 2, arbitrary: fc.constant(undefined) },
      { weight: 1, arbitrary: thermostat },
    ),
  })
  .map((values): Vessel => {
    const base = smallVessel()
    const { noise, resolution, lag_s } = values
    const thermometer = { noise, resolution, lag_s, bias: { value: 0, sd: 0.2 }, drift_per_day: 0.05 }
    const outages = { perDay: values.outagesPerDay, length_s: 20 * MINUTE_S }
    const probe = {
      ...instrument('Probe', values.probeEvery_s, [channel({ quantity: 'beer', ...thermometer })]),
      outages,
    }
    const air = {
      ...instrument('Air probe', 10, [channel({ quantity: 'air', step: 15, ...thermometer })]),
      outages,
    }
    const float = {
      ...instrument('Float', values.floatEvery_s, [
        channel({ quantity: 'gravity', noise: 0.0005, foam: 0.001, resolution: 0.0001 }),
        channel({ quantity: 'beer', noise: 0.1, lag_s: 600 }),
      ]),
      outages,
      ...(values.timeout_s === undefined ? {} : { timeout_s: values.timeout_s }),
    }
    const follows = values.thermostat?.follows === 'air' && values.cabinet ? 'air' : 'beer'
    const { cooler, ...withoutCooler } = base
    const { restsAtLeast_s, lostCommands } = values
    return {
      ...withoutCooler,
      volume_L: values.volume_L,
      heat: values.cabinet ? base.heat : { ...base.heat, cabinet: false, air_J_per_K: { value: 0, sd: 0 } },
      room: { ...base.room, mean_C: values.roomMean_C },
      heater: { ...base.heater!, power_W: values.heaterPower_W, lostCommands },
      ...(values.hasCooler && values.cabinet
        ? { cooler: { ...cooler!, power_W: values.coolerPower_W, restsAtLeast_s, lostCommands } }
        : {}),
      ...(values.thermostat === undefined ? {} : { thermostat: { ...values.thermostat, follows } }),
      instruments: [probe, ...(values.cabinet ? [air] : []), ...(values.hasFloat ? [float] : [])],
      interlocks: {
        ...base.interlocks,
        changeover_s: values.changeover_s,
        lease_s: values.lease_s,
        heaterResponse_s: values.response_s,
        coolerResponse_s: values.response_s,
      },
    }
  })

const temperature_C = fc.integer({ min: 2, max: 30 })

const condition: fc.Arbitrary<Condition> = fc.oneof(
  fc.integer({ min: 600, max: 20_000 }).map(stageLasted),
  fc.integer({ min: 600, max: 8000 }).map(atLeast_s => when({ kind: 'elapsed', since: 'target', atLeast_s })),
  fc
    .tuple(fc.constantFrom('at least' as const, 'at most' as const), temperature_C, fc.constantFrom(0, 300))
    .map(([relation, value, lasting_s]) =>
      when({ kind: 'compare', quantity: 'beer', relation, against: { kind: 'value', value } }, lasting_s),
    ),
  fc.integer({ min: 1, max: 35 }).map(points =>
    when({
      kind: 'compare',
      quantity: 'gravity',
      relation: 'at most',
      against: { kind: 'above final', difference: points / 1000 },
    }),
  ),
  fc.constant(when({ kind: 'steady', quantity: 'gravity', within: 0.002, for_s: 3 * HOUR_S })),
  fc.constant(when({ kind: 'near target', within_K: 0.3 }, 120)),
  fc.constant(when({ kind: 'not', of: when({ kind: 'near target', within_K: 2 }) })),
  fc.constant(when({ kind: 'time of day', from_s: 20 * HOUR_S, to_s: 6 * HOUR_S })),
  fc.constant(when({ kind: 'done', task: 'Add hops' })),
  fc.integer({ min: 1, max: 70 }).map(share => when({ kind: 'attenuation', atLeast: share / 100 })),
)

const anyCondition = fc.oneof(
  { weight: 3, arbitrary: condition },
  {
    weight: 1,
    arbitrary: fc
      .tuple(
        fc.constantFrom('all' as const, 'any' as const),
        fc.array(condition, { minLength: 2, maxLength: 3 }),
      )
      .map(([kind, of]) => when({ kind, of }, 60)),
  },
)

const course = fc.oneof(
  temperature_C.map((target_C): Stage['course'] => ({ kind: 'hold', target_C })),
  fc
    .tuple(temperature_C, fc.integer({ min: 1000, max: 30_000 }))
    .map(([to_C, over_s]): Stage['course'] => ({ kind: 'ramp', to_C, over_s })),
  temperature_C.map((to_C): Stage['course'] => ({ kind: 'ramp', to_C, rate_K_per_s: 2 / HOUR_S })),
  temperature_C.map((cap_C): Stage['course'] => ({ kind: 'free rise', cap_C, lowest_C: cap_C - 4 })),
  fc.constant<Stage['course']>({ kind: 'leave alone' }),
  fc.constant<Stage['course']>({ kind: 'boil', power: 0.4, from_C: 100 }),
)

const settings: fc.Arbitrary<Partial<ControlSettings>> = fc.oneof(
  fc.constant({}),
  fc.constant({ method: 'proportional' as const, window_s: 120, integral_s: 1200, derivative_s: 30 }),
  fc.constant({ method: 'cascade' as const, window_s: 300 }),
  fc.constant({ heatStop_K: -0.1, coolStop_K: -0.1, coolStart_K: 0.1 }),
)

const randomStage = fc
  .record({
    course,
    control: settings,
    until: anyCondition,
    branch: fc.option(anyCondition, { nil: undefined, freq: 1 }),
    askFirst: fc.boolean(),
    atMost_s: fc.integer({ min: 2000, max: 30_000 }),
    ifLate: fc.constantFrom('ask' as const, 'go on' as const, 'hold' as const),
    unknown: fc.constantFrom('ask' as const, 'hold' as const, 'use' as const),
    task: fc.option(fc.boolean(), { nil: undefined, freq: 2 }),
  })
  .map(({ course, control, until, branch, askFirst, atMost_s, ifLate, unknown, task }): Stage => {
    const then = unknown === 'use' ? { kind: unknown, instead: stageLasted(9000) } : { kind: unknown }
    return stage({
      name: '',
      course,
      control,
      until,
      askFirst,
      atMost_s,
      ifLate: { kind: ifLate },
      ifUnknown: { wait_s: 3000, then, place: PLACE },
      branches:
        branch === undefined
          ? []
          : [{ when: branch, destination: { kind: 'following' }, askFirst: false, place: PLACE }],
      tasks: task === undefined ? [] : [{ name: 'Add hops', wait: task, place: PLACE }],
    })
  })

const plan = fc
  .tuple(
    fc.array(randomStage, { minLength: 1, maxLength: 4 }),
    fc.constantFrom('alarm' as const, 'hold' as const, 'switch off' as const),
  )
  .map(([stages, ifBroken]) =>
    smallPlan(
      stages.map((each, number) => ({ ...each, name: `Stage ${number + 1}` })),
      { control: ON_OFF, limits: { lowest_C: 1, highest_C: 28, ifBroken, place: PLACE } },
    ),
  )

const fault = fc
  .tuple(fc.integer({ min: 60, max: 30_000 }), fc.integer({ min: 60, max: 20_000 }))
  .chain(([after_s, lasts_s]) => {
    const when_s = { from_s: START_S + after_s, to_s: START_S + after_s + lasts_s }
    return fc.constantFrom<Fault>(
      { ...when_s, kind: 'instrument silent', instrument: 'Probe' },
      { ...when_s, kind: 'instrument slow', instrument: 'Probe', every_s: 300 },
      { ...when_s, kind: 'channel stuck', channel: 0 },
      { ...when_s, kind: 'thermostat displaced', into: 'room' },
      { ...when_s, kind: 'thermometer displaced', instrument: 'Probe', into: 'air' },
      { ...when_s, kind: 'heater welded' },
      { ...when_s, kind: 'heater dead' },
      { ...when_s, kind: 'cooler dead' },
      { ...when_s, kind: 'cooler welded' },
      { ...when_s, kind: 'network cut' },
      { ...when_s, kind: 'power cut' },
      { ...when_s, kind: 'controller down' },
      { ...when_s, kind: 'room warmer', by_K: 12 },
      { ...when_s, kind: 'door open', factor: 8 },
      { ...when_s, kind: 'fermentation speed', factor: 4 },
      { ...when_s, from_s: START_S, kind: 'float not in wort', instrument: 'Float' },
    )
  })

export const randomCase: fc.Arbitrary<RandomCase> = fc.record({
  vessel,
  plan,
  beer: fc
    .record({
      vigour: fc.double({ min: 2, max: 12, noNaN: true }),
      startsAt_C: fc.integer({ min: 8, max: 28 }),
      isFromFloat: fc.boolean(),
    })
    .map(({ vigour, startsAt_C, isFromFloat }): Beer => {
      const beer = smallBeer()
      return {
        ...beer,
        ...(isFromFloat ? { originalGravityFrom: 'float', originalGravitySd_SG: 0.004 } : {}),
        startsAt_C: { value: startsAt_C, sd: 0.5 },
        yeast: { ...beer.yeast!, vigour: { value: vigour, sd: 0.1 } },
        brewer: { ...beer.brewer, answersWithin_s: 40 * MINUTE_S },
      }
    }),
  faults: fc.array(fault, { maxLength: 3 }),
  seed: fc.integer(),
  hours: fc.integer({ min: 3, max: 14 }),
})
