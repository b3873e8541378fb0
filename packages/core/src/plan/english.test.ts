import { describe, expect, it } from 'vitest'
import type { Place } from '../place.ts'
import { type DisplayUnits, USUAL_UNITS } from '../units/display.ts'
import { describePlan } from './english.ts'
import type { Condition, Course, Plan, Stage } from './plan.ts'
import { quantitiesOf } from './quantities-of.ts'
import { sayReasons } from './reasons.ts'
import { sayCondition, wordingOf } from './say-condition.ts'
import { sayControl } from './say-control.ts'

const place: Place = { line: 1, column: 1, offset: 0, length: 1 }
const HOUR_s = 3600
const DAY_s = 86_400
const US: DisplayUnits = { temperature: 'F', gravity: 'P', volume: 'gal' }

type Loose<T> = T extends unknown ? Omit<T, 'lasting_s' | 'place'> & { readonly lasting_s?: number } : never

function when(condition: Loose<Condition>): Condition {
  return { lasting_s: 0, ...condition, place } as Condition
}

const cold = when({
  kind: 'compare',
  quantity: 'beer',
  relation: 'at most',
  against: { kind: 'value', value: 2.5 },
})
const nearlyDone = when({
  kind: 'compare',
  quantity: 'gravity',
  relation: 'at most',
  against: { kind: 'above final', difference: 0.01 },
})
const threeDays = when({ kind: 'elapsed', since: 'stage', atLeast_s: 3 * DAY_s })
const steady = when({ kind: 'steady', quantity: 'gravity', within: 0.001, for_s: 48 * HOUR_s })

function stage(name: string, course: Course, rest: Partial<Stage> = {}): Stage {
  return {
    name,
    course,
    next: { kind: 'following' },
    askFirst: false,
    ifLate: { kind: 'ask' },
    branches: [],
    tasks: [],
    control: {},
    place,
    places: { course: place, name: place },
    ...rest,
  }
}

function plan(stages: readonly Stage[], rest: Partial<Plan> = {}): Plan {
  return {
    name: 'Trial',
    side: 'fermentation',
    limits: { ifBroken: 'alarm', place },
    control: {},
    stages,
    place,
    ...rest,
  }
}

const hold: Course = { kind: 'hold', target_C: 18 }

function said(condition: Condition, units = USUAL_UNITS): string {
  return sayCondition(condition, wordingOf('fermentation', units))
}

function not(of: Condition): Condition {
  return when({ kind: 'not', of })
}

describe('single conditions', () => {
  it.each<[Condition, string, string]>([
    [
      when({ kind: 'elapsed', since: 'pitch', atLeast_s: 3 * DAY_s }),
      'it is at least 3 days since pitching',
      'it is less than 3 days since pitching',
    ],
    [threeDays, 'the stage has lasted at least 3 days', 'the stage has lasted less than 3 days'],
    [
      when({ kind: 'elapsed', since: 'target', atLeast_s: HOUR_s }),
      'it is at least 1 hour since the target was reached',
      'it is not yet 1 hour since the target was reached',
    ],
    [
      when({ kind: 'elapsed', since: 'target', atLeast_s: 0 }),
      'the target has been reached',
      'the target has not yet been reached',
    ],
    [cold, 'the beer is at or below 2.5 °C', 'the beer is above 2.5 °C'],
    [
      when({ kind: 'compare', quantity: 'air', relation: 'at least', against: { kind: 'value', value: 4 } }),
      'the temperature of the air in the cabinet is at or above 4 °C',
      'the temperature of the air in the cabinet is below 4 °C',
    ],
    [
      when({
        kind: 'compare',
        quantity: 'gravity',
        relation: 'at most',
        against: { kind: 'value', value: 1.012 },
      }),
      'the gravity is at or below 1.012',
      'the gravity is above 1.012',
    ],
    [
      nearlyDone,
      'the gravity is no more than 10 points above the expected final gravity',
      'the gravity is more than 10 points above the expected final gravity',
    ],
    [
      when({
        kind: 'compare',
        quantity: 'gravity',
        relation: 'at most',
        against: { kind: 'above forecast', difference: 0 },
      }),
      'the gravity is at or below the forecast final gravity',
      'the gravity is above the forecast final gravity',
    ],
    [
      when({
        kind: 'compare',
        quantity: 'gravity',
        relation: 'at most',
        against: { kind: 'above final', difference: -0.002 },
      }),
      'the gravity is at least 2 points below the expected final gravity',
      'the gravity is less than 2 points below the expected final gravity',
    ],
    [
      when({
        kind: 'compare',
        quantity: 'pressure',
        relation: 'at least',
        against: { kind: 'value', value: 80_000 },
      }),
      'the pressure is at or above 0.8 bar',
      'the pressure is below 0.8 bar',
    ],
    [
      when({ kind: 'attenuation', atLeast: 0.75 }),
      'the apparent attenuation is at least 75 %',
      'the apparent attenuation is below 75 %',
    ],
    [
      when({ kind: 'fall', relation: 'at most', rate_per_s: 0.001 / DAY_s, over_s: DAY_s }),
      'the gravity falls by no more than 1 point a day (averaged over the last day)',
      'the gravity falls by more than 1 point a day (averaged over the last day)',
    ],
    [
      when({ kind: 'fall', relation: 'at least', rate_per_s: -0.001 / DAY_s, over_s: DAY_s }),
      'the gravity rises by no more than 1 point a day (averaged over the last day)',
      'the gravity rises by more than 1 point a day (averaged over the last day)',
    ],
    [
      steady,
      'the gravity has been steady within 1 point over the last 2 days',
      'the gravity has not been steady within 1 point over the last 2 days',
    ],
    [
      when({ kind: 'near target', within_K: 0.5 }),
      'the beer is within 0.5 °C of the target',
      'the beer is more than 0.5 °C away from the target',
    ],
    [
      when({ kind: 'calendar', from: { text: '2026-12-01T18:00', local_s: 1_796_148_000 } }),
      'it is 18:00 on 1 December 2026 or later',
      'it is not yet 18:00 on 1 December 2026',
    ],
    [
      when({ kind: 'time of day', from_s: 22 * HOUR_s, to_s: 6 * HOUR_s }),
      'the time of day is between 22:00 and 06:00 of the next day',
      'the time of day is not between 22:00 and 06:00 of the next day',
    ],
    [
      when({ kind: 'done', task: 'Add dry hops' }),
      'the brewer has done “Add dry hops”',
      'the brewer has not yet done “Add dry hops”',
    ],
  ])('%#', (condition, yes, no) => {
    expect(said(condition)).toBe(yes)
    expect(said(not(condition))).toBe(no)
    expect(said(not(not(condition)))).toBe(yes)
  })

  it('speaks in the units of the brewer', () => {
    expect(said(cold, US)).toBe('the beer is at or below 36.5 °F')
    expect(said(nearlyDone, US)).toBe('the gravity is no more than 2.56 °P above the expected final gravity')
  })

  it('says a dwell so that a break can not be overlooked', () => {
    expect(said({ ...cold, lasting_s: 12 * HOUR_s })).toBe(
      'the beer has been at or below 2.5 °C for 12 hours without a break',
    )
    expect(said({ ...steady, lasting_s: 6 * HOUR_s })).toBe(
      'it has been true for 6 hours without a break that the gravity has been steady within 1 point over the last 2 days',
    )
    expect(said(not({ ...cold, lasting_s: HOUR_s }))).toBe(
      'it is not true that the beer has been at or below 2.5 °C for 1 hour without a break',
    )
    expect(said({ ...not(cold), lasting_s: HOUR_s })).toBe(
      'it has been true for 1 hour without a break that the beer is above 2.5 °C',
    )
  })
})

describe('combined conditions', () => {
  it('are joined by a word where that can be heard in one way only', () => {
    expect(said(when({ kind: 'all', of: [steady, threeDays] }))).toBe(
      'the gravity has been steady within 1 point over the last 2 days and the stage has lasted at least 3 days',
    )
    expect(said(when({ kind: 'any', of: [cold, threeDays] }))).toBe(
      'either the beer is at or below 2.5 °C or the stage has lasted at least 3 days',
    )
    expect(said(when({ kind: 'all', of: [cold] }))).toBe('the beer is at or below 2.5 °C')
  })

  it('get lettered parts where it could be misheard', () => {
    const either = when({ kind: 'any', of: [cold, threeDays] })
    expect(said(when({ kind: 'all', of: [steady, either] }))).toBe(
      'both of these are true: (a) the gravity has been steady within 1 point over the last 2 days; ' +
        '(b) either the beer is at or below 2.5 °C or the stage has lasted at least 3 days',
    )
    const inner = when({ kind: 'all', of: [steady, either] })
    expect(said(when({ kind: 'any', of: [inner, nearlyDone] }))).toBe(
      'at least one of these is true: (a) both of these are true: ' +
        '(a1) the gravity has been steady within 1 point over the last 2 days; ' +
        '(a2) either the beer is at or below 2.5 °C or the stage has lasted at least 3 days; ' +
        '(b) the gravity is no more than 10 points above the expected final gravity',
    )
  })

  it('are listed when a clause has a joint of its own', () => {
    const longer = when({ kind: 'elapsed', since: 'stage', atLeast_s: 36 * HOUR_s })
    expect(said(when({ kind: 'any', of: [cold, longer] }))).toBe(
      'at least one of these is true: (a) the beer is at or below 2.5 °C; (b) the stage has lasted at least 1 day and 12 hours',
    )
    expect(said(when({ kind: 'all', of: [cold, threeDays, steady] }))).toMatch(
      /^all of these are true: \(a\) /,
    )
  })

  it('carry their own dwell and their own denial', () => {
    const both = when({ kind: 'all', of: [steady, cold] })
    const parts =
      'the gravity has been steady within 1 point over the last 2 days and the beer is at or below 2.5 °C'
    expect(said({ ...both, lasting_s: HOUR_s })).toBe(
      `this has been true for 1 hour without a break: ${parts}`,
    )
    expect(said(not({ ...both, lasting_s: HOUR_s }))).toBe(
      `this is not true: this has been true for 1 hour without a break: ${parts}`,
    )
    expect(said(not(both))).toBe(
      'not all of these are true: (a) the gravity has been steady within 1 point over the last 2 days; (b) the beer is at or below 2.5 °C',
    )
    expect(said(not(when({ kind: 'any', of: [steady, cold] })))).toMatch(/^none of these is true: \(a\)/)
  })

  it('letter more parts than there are letters', () => {
    const many = when({ kind: 'all', of: Array.from({ length: 28 }, () => cold) })
    expect(said(many)).toContain('(z) the beer is at or below 2.5 °C; (aa) the beer')
  })

  it('name what they rest on, each once', () => {
    expect(quantitiesOf(when({ kind: 'all', of: [nearlyDone, steady, not(cold), threeDays] }))).toEqual([
      'gravity',
      'beer',
    ])
  })
})

describe('stages', () => {
  function stageText(first: Stage, ...others: readonly Stage[]): string {
    return describePlan(plan([first, ...others]), USUAL_UNITS)[1]!
  }
  const crash = stage('Crash', { kind: 'ramp', to_C: 2, rate_K_per_s: 1 / HOUR_s })

  it('hold until a condition, with a longest time and a wait for an unknown', () => {
    const primary = stage('Primary', hold, {
      until: nearlyDone,
      atMost_s: 10 * DAY_s,
      ifUnknown: { wait_s: 12 * HOUR_s, then: { kind: 'ask' }, place },
    })
    expect(stageText(primary, crash)).toBe(
      'Primary: hold the beer at 18 °C until the gravity is no more than 10 points above the expected final gravity. ' +
        'Then go on to Crash. If the stage has not ended after 10 days, ask the brewer whether to go on to Crash. ' +
        'If the gravity is unknown for 12 hours, ask the brewer whether to go on to Crash.',
    )
  })

  it('ramp, ask first, and end the plan', () => {
    const warm = stage(
      'Warm',
      { kind: 'ramp', from_C: 18, to_C: 21, over_s: 3 * DAY_s },
      {
        until: when({ kind: 'all', of: [steady, threeDays] }),
        askFirst: true,
        question: 'Does it taste clean?',
      },
    )
    expect(stageText(warm)).toBe(
      'Warm: bring the beer from 18 °C to 21 °C evenly over 3 days and keep it there. The stage is ready to end as soon as ' +
        'the gravity has been steady within 1 point over the last 2 days and the stage has lasted at least 3 days. ' +
        'Then ask the brewer: “Does it taste clean?” When the answer is yes, end the plan.',
    )
  })

  it('put a list of parts at the end of its sentence', () => {
    const either = when({ kind: 'any', of: [cold, threeDays] })
    const text = stageText(
      stage('Primary', hold, { until: when({ kind: 'all', of: [steady, either] }) }),
      crash,
    )
    expect(text).toMatch(
      /^Primary: hold the beer at 18 °C\. Go on to Crash as soon as both of these are true: \(a\) /,
    )
    expect(text).toMatch(/at least 3 days\.$/)
  })

  it('without a condition: by time, by a branch, or never', () => {
    expect(stageText(stage('Rest', hold, { atMost_s: 2 * DAY_s, ifLate: { kind: 'go on' } }), crash)).toBe(
      'Rest: hold the beer at 18 °C. After 2 days, go on to Crash.',
    )
    expect(stageText(stage('Rest', hold), crash)).toBe(
      'Rest: hold the beer at 18 °C. Nothing in the plan ends this stage.',
    )
    const branches = [{ when: cold, destination: { kind: 'finish' as const }, askFirst: false, place }]
    expect(stageText(stage('Rest', hold, { branches }), crash)).toBe(
      'Rest: hold the beer at 18 °C. Only what follows ends this stage. Looked at first: end the plan as soon as the beer is at or below 2.5 °C.',
    )
  })

  it('branch in order, asking where the plan says so', () => {
    const branches = [
      { when: cold, destination: { kind: 'stage' as const, name: 'Crash', place }, askFirst: false, place },
      {
        when: threeDays,
        destination: { kind: 'stage' as const, name: 'Primary', place },
        askFirst: true,
        question: 'Back again?',
        place,
      },
    ]
    const text = stageText(stage('Rest', hold, { branches, until: steady }), stage('Primary', hold), crash)
    expect(text).toContain(
      'Then go on to Primary. Looked at first: go to Crash as soon as the beer is at or below 2.5 °C. ' +
        'Looked at next: ask the brewer as soon as the stage has lasted at least 3 days. ' +
        'The question is: “Back again?” When the answer is yes, go on to Primary.',
    )
  })

  it('know four answers to being late', () => {
    const late = (ifLate: Stage['ifLate']): string =>
      stageText(stage('Rest', hold, { until: cold, atMost_s: DAY_s, ifLate }), stage('Next', hold), crash)
    expect(late({ kind: 'ask' })).toMatch(/after 1 day, ask the brewer whether to go on to Next\.$/)
    expect(late({ kind: 'go on' })).toMatch(/after 1 day, go on to Next all the same\.$/)
    expect(late({ kind: 'hold' })).toMatch(
      /after 1 day, stay in the stage, keep the temperature, raise an alarm and wait for the brewer\.$/,
    )
    expect(late({ kind: 'go to', destination: { kind: 'stage', name: 'Crash', place } })).toMatch(
      /after 1 day, go to Crash\.$/,
    )
  })

  it('know three answers to not knowing', () => {
    const unknown = (until: Condition, then: NonNullable<Stage['ifUnknown']>['then']): string =>
      stageText(stage('Rest', hold, { until, ifUnknown: { wait_s: HOUR_s, then, place } }), crash)
    expect(unknown(nearlyDone, { kind: 'hold' })).toMatch(
      /If the gravity is unknown for 1 hour, stay in the stage, keep the temperature, raise an alarm and wait for the brewer\.$/,
    )
    expect(unknown(when({ kind: 'all', of: [steady, cold] }), { kind: 'ask' })).toMatch(
      /If for 1 hour this can not be decided because the gravity or the beer’s temperature is unknown or has not been known for long enough, ask the brewer whether to go on to Crash\.$/,
    )
    expect(unknown(nearlyDone, { kind: 'use', instead: threeDays })).toMatch(
      /If the gravity is unknown for 1 hour, another condition counts for as long as that lasts: the stage has lasted at least 3 days\.$/,
    )
  })

  it('do not claim that time can be unknown', () => {
    const waiting = (since: 'stage' | 'target'): string =>
      stageText(
        stage('Rest', hold, {
          until: when({ kind: 'elapsed', since, atLeast_s: HOUR_s }),
          ifUnknown: { wait_s: HOUR_s, then: { kind: 'ask' }, place },
        }),
      )
    expect(waiting('stage')).toMatch(
      /If for 1 hour this can not be decided, ask the brewer whether to end the plan\.$/,
    )
    expect(waiting('target')).toMatch(
      /If for 1 hour this can not be decided because the beer’s temperature is unknown, ask the brewer/,
    )
  })

  it('give tasks, at the beginning or at a condition, waiting or not', () => {
    const tasks = [
      { name: 'Take a sample', wait: false, place },
      { name: 'Add dry hops', when: nearlyDone, wait: true, place },
    ]
    expect(stageText(stage('Rest', hold, { tasks }), crash)).toContain(
      'At the beginning, tell the brewer: “Take a sample”. Tell the brewer “Add dry hops” as soon as the gravity is ' +
        'no more than 10 points above the expected final gravity. The stage can not end before the brewer has answered that it is done.',
    )
  })

  it('rise freely, are left alone, and cool at a rate', () => {
    expect(stageText(stage('Rise', { kind: 'free rise', cap_C: 24 }))).toContain(
      'Rise: let the beer warm up by itself, to no more than 24 °C: only there does the cooler start. The heater stays off.',
    )
    expect(stageText(stage('Rise', { kind: 'free rise', cap_C: 24, lowest_C: 18 }))).toContain(
      'The heater only keeps the beer from falling below 18 °C.',
    )
    expect(stageText(stage('Lag', { kind: 'leave alone' }, { until: threeDays }), crash)).toBe(
      'Lag: neither heat nor cool the beer until the stage has lasted at least 3 days. Then go on to Crash.',
    )
    expect(stageText(crash)).toContain('Crash: bring the beer to 2 °C at 1 °C an hour and keep it there.')
  })
})

describe('whole plans', () => {
  it('open with their stages, limits and control settings', () => {
    const stages = [stage('A', hold), stage('B', hold, { control: { heatStop_K: -0.1 } })]
    const limits = { lowest_C: 0, highest_C: 24, ifBroken: 'hold' as const, place }
    const text = describePlan(
      plan(stages, { limits, control: { method: 'on-off', coolStart_K: 0.5 } }),
      USUAL_UNITS,
    )
    expect(text).toEqual([
      'Trial. A plan in 2 stages: A and B.',
      'Limits: nothing cools the beer below 0 °C, and nothing heats the beer above 24 °C. If the beer is below 0 °C or above 24 °C all the same, raise an alarm, stay in the stage and keep the temperature.',
      'Control, unless a stage says otherwise: heater and cooler are switched on and off around the target; the cooler starts 0.5 °C above the target.',
      'A: hold the beer at 18 °C. Nothing in the plan ends this stage.',
      'B: hold the beer at 18 °C. Nothing in the plan ends this stage. In this stage, the heater stops 0.1 °C above the target.',
      'When the plan has ended, the beer is kept as in its last stage until the batch is stopped.',
    ])
  })

  it('say single limits, and each response', () => {
    const limited = (limits: Plan['limits']): string => describePlan(plan([], { limits }), USUAL_UNITS)[1]!
    expect(limited({ highest_C: 24, ifBroken: 'alarm', place })).toBe(
      'Limits: nothing heats the beer above 24 °C. If the beer is above 24 °C all the same, raise an alarm and carry on.',
    )
    expect(limited({ lowest_C: 0, ifBroken: 'switch off', place })).toMatch(
      /below 0 °C all the same, raise an alarm, stay in the stage and switch everything off\.$/,
    )
  })

  it('on the hot side speak of the kettle and of the start', () => {
    const boil = stage(
      'Boil',
      { kind: 'boil', power: 0.8, from_C: 99 },
      {
        until: when({ kind: 'elapsed', since: 'target', atLeast_s: HOUR_s }),
      },
    )
    const mash = stage(
      'Mash',
      { kind: 'hold', target_C: 67 },
      {
        until: when({ kind: 'elapsed', since: 'pitch', atLeast_s: HOUR_s }),
      },
    )
    expect(describePlan(plan([mash, boil], { side: 'hot side' }), USUAL_UNITS)).toEqual([
      'Trial. A hot-side plan in 2 stages: Mash and Boil.',
      'Mash: hold the kettle at 67 °C until it is at least 1 hour since the start. Then go on to Boil.',
      'Boil: boil with the heater at 80 % of its power; the boil counts as reached at 99 °C. End the plan as soon as it is at least 1 hour since the target was reached.',
      'When the plan has ended, everything is switched off.',
    ])
  })

  it('hand over the reasons of each stage', () => {
    const branches = [{ when: cold, destination: { kind: 'following' as const }, askFirst: false, place }]
    const rest = stage('Rest', hold, {
      branches,
      until: steady,
      atMost_s: DAY_s,
      ifUnknown: { wait_s: HOUR_s, then: { kind: 'use', instead: threeDays }, place },
    })
    expect(sayReasons(plan([rest, stage('Crash', hold)]), USUAL_UNITS).Rest).toEqual({
      until: 'the gravity has been steady within 1 point over the last 2 days',
      instead: 'the stage has lasted at least 3 days',
      branchTo: { Crash: 'the beer is at or below 2.5 °C' },
      atMost_s: DAY_s,
    })
  })
})

describe('control settings', () => {
  it('are each said once, in the units of the brewer', () => {
    const everything = {
      method: 'cascade',
      heatStart_K: 0.3,
      heatStop_K: 0,
      coolStart_K: 0.3,
      coolStop_K: -0.1,
      gain_per_K: 0.18,
      integral_s: 1800,
      derivative_s: 0,
      window_s: 60,
      cascadeGain: 4,
      airLowest_C: 1,
      airHighest_C: 30,
      reached_K: 0.5,
    } as const
    expect(sayControl(everything, wordingOf('fermentation', US))).toEqual([
      'the beer’s distance from its target sets a target for the air around it, and the air is kept there',
      'the heater starts 0.54 °F below the target and stops at the target',
      'the cooler starts 0.54 °F above the target and stops 0.18 °F below the target',
      'each °F of error asks for 10 % of the power',
      'the integral time is 30 minutes',
      'there is no derivative part',
      'one window lasts 1 minute',
      'the target of the air is moved by 4 times the beer’s error',
      'the target of the air stays between 33.8 °F and 86 °F',
      'the target counts as reached within 0.9 °F of it',
    ])
  })
})
