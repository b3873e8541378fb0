import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cases as casesOf, judgeAll } from '../../../../test/judge-all.ts'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import type { EngineState, Inputs, Outcome, ReadingInput, Stands } from './contract.ts'
import { initialState } from './initial.ts'
import type { Program } from './program.ts'
import { renew } from './renew.ts'
import { shiftTimes } from './shift-times.ts'
import {
  channel,
  gravityAtMost,
  instrument,
  ON_OFF,
  PLACE,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
  stageLasted,
  when,
} from './testing/small-house.ts'

/*
 * Strategy: random plans (methods, courses, limits) are told random stories: readings good, wild and missing, silences,
 * answers, edits, and restarts in which the state goes through JSON.
 * Invariants: see the names of the tests. Each judge looks at every outcome of a story, not only at the last, and counts
 * those of which it had something to say.
 */

const START_S = 1_800_000_000
const REST_S = 300

const vessel = smallVessel({
  instruments: [
    instrument('Probe', 10, [channel({ quantity: 'beer' })]),
    instrument('Air probe', 10, [channel({ quantity: 'air', step: 15 })]),
    instrument('Float', 1800, [channel({ quantity: 'gravity' }), channel({ quantity: 'beer' })]),
  ],
  // Short, so that within a story one can run after the other.
  interlocks: { ...smallVessel().interlocks, changeover_s: 120, lease_s: 200 },
})
const channelCount = 4
const gravityChannel = 2

const anyProgram = fc
  .record({
    method: fc.constantFrom('on-off', 'proportional', 'cascade'),
    target_C: fc.integer({ min: 2, max: 26 }),
    ifBroken: fc.constantFrom('alarm', 'hold', 'switch off'),
    ifLate: fc.constantFrom('ask', 'go on', 'hold'),
    askFirst: fc.boolean(),
    heatStop_K: fc.constantFrom(-0.2, 0, 0.2, 0.5),
  })
  .map(({ method, target_C, ifBroken, ifLate, askFirst, heatStop_K }) => {
    const stages = [
      stage({
        name: 'Primary',
        course: { kind: 'hold', target_C },
        until: gravityAtMost(1.02),
        atMost_s: 8_000,
        ifLate: { kind: ifLate as 'ask' },
        askFirst,
        ifUnknown: { wait_s: 4000, then: { kind: 'ask' }, place: PLACE },
      }),
      stage({
        name: 'Warm',
        course: { kind: 'ramp', to_C: target_C + 3, over_s: 20_000 },
        until: when({
          kind: 'all',
          of: [stageLasted(5000), when({ kind: 'near target', within_K: 1 }, 600)],
        }),
      }),
      stage({
        name: 'Crash',
        course: { kind: 'free rise', cap_C: 8, lowest_C: 2 },
        until: stageLasted(30_000),
      }),
    ]
    const settings = { ...ON_OFF, method: method as 'on-off', heatStop_K }
    const plan = smallPlan(stages, {
      control: settings,
      limits: { lowest_C: 16, highest_C: 20, ifBroken: ifBroken as 'alarm', place: PLACE },
    })
    return compile(plan, vessel, smallBeer())
  })

/** Change of the beer's temperature since the step before, K, with a wild reading now and then. */
const change = fc.oneof(
  { weight: 40, arbitrary: fc.double({ min: -0.6, max: 0.6, noNaN: true }) },
  { weight: 2, arbitrary: fc.double({ min: -4, max: 4, noNaN: true }) },
  { weight: 1, arbitrary: fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -145, 67, 1e308) },
)
const gravity = fc.oneof(
  { weight: 6, arbitrary: fc.double({ min: 1.043, max: 1.055, noNaN: true }) },
  { weight: 3, arbitrary: fc.double({ min: 1.005, max: 1.055, noNaN: true }) },
  { weight: 1, arbitrary: fc.constantFrom(Number.NaN, 0, 1.0, 1.9) },
)

const step = fc.record({
  after_s: fc.oneof(
    { weight: 20, arbitrary: fc.constantFrom(1, 10, 10, 10, 30) },
    { weight: 2, arbitrary: fc.integer({ min: 60, max: 4000 }) },
  ),
  temperatures: fc.array(fc.option(change, { nil: undefined, freq: 6 }), {
    minLength: channelCount,
    maxLength: channelCount,
  }),
  gravity: fc.option(gravity, { nil: undefined, freq: 3 }),
  // A beer that wanders by itself is hardly ever just at a limit, and seldom on the other side of its target: so now and
  // then it is put there.
  at: fc.oneof(
    { weight: 12, arbitrary: fc.constant(null) },
    { weight: 3, arbitrary: fc.constantFrom('highest', 'lowest', 'warm', 'cold') },
  ),
  /** The probe goes on to read the same for so many times 10 s. */
  stays: fc.constantFrom(0, 0, 0, 0, 0, 0, 0, 30),
  answer: fc.constantFrom(null, null, null, 'yes', 'not yet'),
  edit: fc.oneof(
    { weight: 30, arbitrary: fc.constant(null) },
    { weight: 4, arbitrary: fc.constantFrom('restart', 'hold', 'resume', 'go to') },
  ),
})
type Step = typeof step extends fc.Arbitrary<infer T> ? T : never
const story = fc.array(step, { minLength: 5, maxLength: 80 })

interface Moment {
  readonly inputs: Inputs
  readonly before: EngineState
  readonly outcome: Outcome
  readonly isRestart: boolean
}

/** Tells the story, and calls the engine in between whenever its answer no longer stands. */
function tell(program: Program, steps: readonly Step[]): readonly Moment[] {
  const moments: Moment[] = []
  let state = initialState(program)
  let now_s = START_S
  let beer_C = 18
  const call = (inputs: Inputs, isRestart: boolean) => {
    const before = isRestart ? (JSON.parse(JSON.stringify(state)) as EngineState) : state
    const outcome = advance(program, before, inputs)
    moments.push({ inputs, before, outcome, isRestart })
    state = outcome.state
    return outcome
  }
  let last = call(
    { now_s, readings: [{ channel: 0, value: 18, at_s: now_s }], answers: [], edits: [{ kind: 'start' }] },
    false,
  )
  for (const { after_s, temperatures, gravity, at, stays, answer, edit } of steps) {
    const then_s = now_s + after_s
    for (let due_s = dueNext(state, last); due_s < then_s; due_s = dueNext(state, last)) {
      last = call({ now_s: due_s, readings: [], answers: [], edits: [] }, false)
    }
    now_s = then_s
    const isTame = (change: number | undefined) => change !== undefined && Math.abs(change) <= 4
    if (isTame(temperatures[0])) {
      const place_C = at === null ? null : placeOf(program, state, at)
      beer_C = place_C === null ? beer_C + temperatures[0]! : place_C + Math.round(temperatures[0]!) / 10
    }
    const readings = temperatures.flatMap((change, number) => {
      if (change === undefined || number === gravityChannel) return []
      const value = number === 0 && isTame(change) ? beer_C : beer_C + change
      return [{ channel: number, value, at_s: now_s }]
    })
    if (gravity !== undefined) readings.push({ channel: gravityChannel, value: gravity, at_s: now_s })
    const answers =
      answer === null ? [] : state.questions.map(({ id }) => ({ question: id, answer: answer as 'yes' }))
    const isRestart = edit === 'restart'
    const edits: Inputs['edits'] =
      edit === null
        ? []
        : edit === 'restart'
          ? [{ kind: 'restarted' }]
          : edit === 'go to'
            ? [{ kind: 'go to', stage: 'Crash' }]
            : [{ kind: edit as 'hold' }]
    last = call({ now_s, readings, answers, edits }, isRestart)
    for (let n = 0; n < stays; n++) {
      now_s += 10
      const same = [{ channel: 0, value: beer_C, at_s: now_s }]
      last = call({ now_s, readings: same, answers: [], edits: [] }, false)
    }
  }
  return moments
}

function placeOf(program: Program, { target_C }: EngineState, at: string): number | null {
  if (at === 'highest') return program.highest_C
  if (at === 'lowest') return program.lowest_C
  return target_C === null ? null : target_C + (at === 'warm' ? 1.2 : -1.2)
}

function dueNext(state: EngineState, { stands }: Outcome): number {
  return Math.min(stands.until_s, silentNext(state, stands))
}

function silentNext(state: EngineState, stands: Stands): number {
  return state.channels.reduce(
    (due_s, { at_s }, number) => (at_s === null ? due_s : Math.min(due_s, at_s + stands.silence_s[number]!)),
    Number.POSITIVE_INFINITY,
  )
}

const CASES = 150
const LEAST = 20

/** The verdict says of how many moments of the story there was something to judge. */
function judge(
  name: string,
  verdict: (program: Program, moments: readonly Moment[]) => number,
  cases = CASES,
) {
  judgeAll(name, { cases, least: LEAST }, [anyProgram, story], (program, steps) =>
    verdict(program, tell(program, steps)),
  )
}

/** Judges each moment by itself; false: there was nothing to judge, which may be so in most, but not in all. */
function judgeEach(name: string, verdict: (program: Program, moment: Moment) => boolean, cases = CASES) {
  judge(name, (program, moments) => moments.filter(moment => verdict(program, moment)).length, cases)
}

describe('for any story of readings, silences, restarts and answers', () => {
  it('the stories are worth telling: both appliances run, instruments fail, stages pass, questions come', () => {
    const seen = new Set<string>()
    for (const [program, steps] of fc.sample(fc.tuple(anyProgram, story), {
      numRuns: casesOf(CASES),
      seed: 1,
    })) {
      for (const { outcome } of tell(program, steps)) {
        if (outcome.state.heater.on) seen.add('heater')
        if (outcome.state.cooler.on) seen.add('cooler')
        for (const { kind } of outcome.events) seen.add(kind)
      }
    }
    const wanted = [
      'heater',
      'cooler',
      'stage',
      'asked',
      'answered',
      'instrument lost',
      'instrument back',
      'limit broken',
      'late',
      'unknown too long',
      'withheld',
      'target reached',
    ]
    if (casesOf(CASES) === CASES) expect(wanted.filter(each => !seen.has(each))).toEqual([])
  })

  judgeEach('heater and cooler never run together', (_, { outcome }) => {
    const { heater, cooler } = outcome.state
    expect(heater.on && cooler.on).toBe(false)
    return heater.on || cooler.on
  })

  judge('a compressor rests its least time, also across restarts', (_, moments) => {
    let judged = 0
    let offSince_s = START_S
    let wasOn = false
    for (const { outcome, inputs, isRestart } of moments) {
      const { on } = outcome.state.cooler
      if (on && !wasOn) {
        expect(inputs.now_s - offSince_s).toBeGreaterThanOrEqual(REST_S)
        judged++
      }
      if (on && wasOn && isRestart) expect.fail('it went on running through a restart')
      if (!on && wasOn) offSince_s = inputs.now_s
      wasOn = on
    }
    return judged
  })

  judge(
    'there is a changeover delay between heating and cooling, both ways',
    (program, moments) => {
      const stopped_s = { heater: Number.NEGATIVE_INFINITY, cooler: Number.NEGATIVE_INFINITY }
      const was = { heater: false, cooler: false }
      let judged = 0
      for (const { outcome, inputs } of moments) {
        for (const [name, other] of [
          ['heater', 'cooler'],
          ['cooler', 'heater'],
        ] as const) {
          const { on } = outcome.state[name]
          if (on && !was[name]) {
            expect(inputs.now_s - stopped_s[other]).toBeGreaterThanOrEqual(program.interlocks.changeover_s)
            if (Number.isFinite(stopped_s[other])) judged++
          }
        }
        for (const name of ['heater', 'cooler'] as const) {
          if (was[name] && !outcome.state[name].on) stopped_s[name] = inputs.now_s
          was[name] = outcome.state[name].on
        }
      }
      return judged
    },
    3 * CASES,
  )

  judgeEach('nothing heats or cools while the temperature of the beer is unknown', (program, { outcome }) => {
    const { inCharge, heater, cooler, batch } = outcome.state
    if (inCharge[program.beer]! >= 0) return false
    expect(heater.on || cooler.on).toBe(false)
    return batch === 'running' || batch === 'held'
  })

  /** The beer at a limit or beyond it, and the controller would have it go further. */
  const believed_C = ({ outcome }: Moment, program: Program) => {
    const { inCharge, channels } = outcome.state
    return channels[inCharge[program.beer]!]?.value ?? null
  }

  judgeEach('nothing heats at the highest limit, although heat is wanted', (program, moment) => {
    const { heater, controller } = moment.outcome.state
    const beer_C = believed_C(moment, program)
    if (beer_C === null || beer_C < program.highest_C) return false
    expect(heater.on).toBe(false)
    return controller.wantHeat
  })

  judgeEach('nothing cools at the lowest limit, although cold is wanted', (program, moment) => {
    const { cooler, controller } = moment.outcome.state
    const beer_C = believed_C(moment, program)
    if (beer_C === null || beer_C > program.lowest_C) return false
    expect(cooler.on).toBe(false)
    return controller.wantCool
  })

  judge('every command lapses, and fences only grow', (program, moments) => {
    let fence = 0
    let judged = 0
    for (const { outcome, inputs } of moments) {
      for (const command of outcome.commands) {
        expect(command.until_s).toBe(inputs.now_s + program.interlocks.lease_s)
        expect(command.fence).toBeGreaterThan(fence)
        fence = command.fence
        judged++
      }
      const { heater, cooler } = outcome.state
      for (const appliance of [heater, cooler]) {
        if (appliance.on) expect(appliance.leaseUntil_s).toBeGreaterThan(inputs.now_s)
      }
    }
    return judged
  })

  judgeEach(
    'after a restart nothing runs before two readings that were taken later',
    (program, { before, inputs, outcome, isRestart }) => {
      const { heater, cooler, restartedAt_s, channels } = outcome.state
      if (isRestart) {
        expect(outcome.state.inCharge[program.beer]).toBe(-1)
        expect(heater.on || cooler.on).toBe(false)
        for (const { until_s } of outcome.commands) {
          expect(until_s).toBeLessThanOrEqual(inputs.now_s + program.interlocks.lease_s)
        }
        return true
      }
      if (restartedAt_s == null || !(heater.on || cooler.on)) return false
      // The one in charge was heard at this call, or at an earlier one after the restart.
      const inCharge = outcome.state.inCharge[program.beer]!
      expect(channels[inCharge]!.at_s).toBeGreaterThan(restartedAt_s)
      const wasUnknown = before.inCharge[program.beer] === -1
      if (wasUnknown) expect(before.channels[inCharge]!.at_s).not.toBeNull()
      return true
    },
  )

  judgeEach(
    'a state from a time that is still to come decides as one of now: nothing is given for longer than a lease',
    (program, { outcome: { state }, inputs }) => {
      const { lease_s } = program.interlocks
      for (const ahead_s of [11, lease_s, 3600, 5 * 365 * 86_400]) {
        const ahead = shiftTimes(state, ahead_s)
        const now_s = inputs.now_s + 10
        const readings = [{ channel: 0, value: state.channels[0]!.value ?? 18, at_s: now_s }]
        const {
          commands,
          state: after,
          events,
        } = advance(program, ahead, { now_s, readings, answers: [], edits: [] })
        for (const command of commands) {
          expect(command.until_s).toBeLessThanOrEqual(now_s + lease_s)
          expect(command.fence).toBeGreaterThan(state.fence)
        }
        // Each is told again: what it was told last holds for too long.
        expect(commands.length).toBe(2)
        expect(after.now_s).toBe(now_s)
        for (const { leaseUntil_s } of [after.heater, after.cooler]) {
          expect(leaseUntil_s ?? 0).toBeLessThanOrEqual(now_s + lease_s)
        }
        for (const { at_s } of after.channels) expect(at_s ?? 0).toBeLessThanOrEqual(now_s)
        // The reading of now is heard.
        const { at_s } = after.channels[0]!
        expect(
          at_s === now_s ||
            events.some(({ kind }) => kind === 'instrument lost') ||
            !state.channels[0]!.trusted,
        ).toBe(true)
      }
      return true
    },
    CASES / 4,
  )

  judgeEach(
    'same inputs give same outputs, through JSON too, and the state that came in is left alone',
    (program, { before, inputs, outcome }) => {
      const text = JSON.stringify(before)
      const again = advance(program, JSON.parse(text) as EngineState, inputs)
      expect(again).toEqual(outcome)
      expect(JSON.stringify(before)).toBe(text)
      expect(JSON.parse(JSON.stringify(outcome.state))).toEqual(outcome.state)
      return true
    },
    CASES / 2,
  )

  judge(
    'a stage is left only on a true condition, an answer, its longest time or an edit',
    (program, moments) => {
      let judged = 0
      for (const { before, outcome, inputs } of moments) {
        for (const event of outcome.events) {
          if (event.kind !== 'stage' || event.from === null) continue
          judged++
          if (event.why === 'edit') expect(inputs.edits.some(({ kind }) => kind === 'go to')).toBe(true)
          if (event.why === 'answer') expect(inputs.answers.length).toBeGreaterThan(0)
          if (event.why === 'late') expect(inputs.now_s).toBeGreaterThanOrEqual(before.stageSince_s + 8_000)
          if (event.why !== 'condition' || event.from !== 'Primary' || inputs.answers.length > 0) continue
          const channel = outcome.state.inCharge[program.gravity]!
          expect(channel).toBe(gravityChannel)
          expect(outcome.state.channels[channel]!.value).toBeLessThanOrEqual(1.02)
        }
      }
      return judged
    },
  )

  judgeEach('the answer stands: a call within its bounds changes nothing', (program, { outcome, inputs }) => {
    const { state } = outcome
    const now_s = inputs.now_s + 1
    if (now_s >= dueNext(state, outcome)) return false
    // To the very edges, lower and upper: just where another comparison would have had another outcome.
    for (const share of [0.01, 1e-6, 1 - 1e-6]) {
      const readings = readingsWithin(outcome, now_s, share)
      const next = advance(program, state, { now_s, readings, answers: [], edits: [] })
      expect(next.events).toEqual([])
      expect(next.commands).toEqual([])
      const still = { ...next.state, now_s: state.now_s, channels: state.channels }
      expect(still).toEqual(state)
    }
    return true
  })

  judgeEach(
    'readings that were kept back while the answer stood leave the same state as one at a time',
    (program, { outcome, inputs }) => {
      const { state } = outcome
      const shares = [0.3, 0.01, 0.6, 0.2, 0.45]
      if (inputs.now_s + shares.length >= dueNext(state, outcome)) return false
      const kept = shares.map((share, n) => readingsWithin(outcome, inputs.now_s + 1 + n, share))
      const isRemembered = ({ channel }: ReadingInput) => program.remembers[channel]!
      if (!kept.flat().some(isRemembered)) return false
      let one = outcome
      for (const [n, readings] of kept.entries()) {
        const now_s = inputs.now_s + 1 + n
        one = advance(program, one.state, { now_s, readings, answers: [], edits: [] })
      }
      const handedOver = kept.flatMap((readings, n) =>
        n === kept.length - 1 ? readings : readings.filter(isRemembered),
      )
      const now_s = inputs.now_s + kept.length
      const all = advance(program, state, { now_s, readings: handedOver, answers: [], edits: [] })
      expect(all.state).toEqual(one.state)
      expect([...all.events, ...all.commands]).toEqual([])
      return true
    },
  )

  judgeEach('a lease is renewed without a call as by one', (program, { outcome }) => {
    const { state, stands } = outcome
    // A silence that is too long from the same second on: then the answer does not stand, and a renewal is not enough.
    if (stands.until_s === stands.decidedUntil_s || stands.until_s >= silentNext(state, stands)) return false
    const now_s = stands.until_s
    const called = advance(program, state, { now_s, readings: [], answers: [], edits: [] })
    const renewed = renew(program, state, stands, now_s)
    expect(renewed.state).toEqual(called.state)
    expect(renewed.commands).toEqual(called.commands)
    expect(renewed.events).toEqual(called.events)
    expect(renewed.stands.until_s).toBe(called.stands.until_s)
    return true
  })
})

/**
 * A reading of each channel that has bounds: just where it is, or this share of the way from one bound to the other; a share
 * beyond a half, so near to the upper one that the rest is left.
 */
function readingsWithin({ stands, state }: Outcome, at_s: number, share: number): ReadingInput[] {
  return state.channels.flatMap(({ value, trusted }, number) => {
    if (!trusted || value === null) return []
    const lower = stands.lower[number]!
    const upper = stands.upper[number]!
    if (!(lower < upper)) return []
    const edge = lower + (upper - lower) * share
    const least = lower + (upper - lower) * Math.min(share, 1 - share)
    const inside =
      share < 1e-3 || share > 0.5 ? edge : Math.min(Math.max(value, least), lower + upper - least)
    return inside > lower && inside < upper ? [{ channel: number, value: inside, at_s }] : []
  })
}
