import { describe, expect, it } from 'vitest'
import type { EngineEvent, Question, StageWhy, SwitchReason } from '../../engine/events.ts'
import { USUAL_UNITS } from '../../units/display.ts'
import type { SentenceContext } from './context.ts'
import { sentenceFor } from './sentence.ts'

const HOUR_s = 3600
const DAY_s = 86_400

const context: SentenceContext = {
  units: USUAL_UNITS,
  plan: { name: 'Amber ale', side: 'fermentation' },
  reasons: {
    Primary: {
      until: 'the gravity is no more than 10 points above the expected final gravity',
      instead: 'the stage has lasted at least 6 days',
      branchTo: { Crash: 'the beer is at 26 °C or above' },
      atMost_s: 10 * DAY_s,
    },
  },
  silenceAllowed_s: { Float: 2 * HOUR_s },
  unitOf: { oxygen: 'mg/L' },
}

type Loose<T> = T extends unknown ? Omit<T, 'at_s'> : never

function say(event: Loose<EngineEvent>, changes: Partial<SentenceContext> = {}): string {
  return sentenceFor({ at_s: 1_800_000_000, ...event } as EngineEvent, { ...context, ...changes })
}

const hotSide: Partial<SentenceContext> = { plan: { name: 'Mash', side: 'hot side' } }

describe('the original gravity', () => {
  const taken = { kind: 'original gravity', gravity: 1.0538, before: 1.05 } as const

  it('says where it is from, and what it was taken for', () => {
    expect(say({ ...taken, from: 'float', instrument: 'Float' })).toBe(
      'Float is in the wort: as warm as the beer, and steady. Its 1.054 is the original gravity; attenuation is counted from it, not from 1.050.',
    )
    expect(say({ ...taken, from: 'hand', instrument: null, before: 1.0538 })).toBe(
      'The original gravity is 1.054, measured by hand: attenuation is counted from it.',
    )
    expect(say({ ...taken, from: 'beer file', gravity: 1.05, instrument: null })).toContain(
      'stays the 1.050 of the beer file',
    )
  })
})

describe('appliances', () => {
  const cooler = { kind: 'switched', appliance: 'cooler', on: true, why: 'controller' } as const

  it('say how far the beer is from its target', () => {
    expect(say({ ...cooler, target_C: 18.1, beer_C: 18.44 })).toBe(
      'Cooler on: the beer is at 18.4 °C, 0.3 °C above its target.',
    )
    expect(say({ ...cooler, on: false, target_C: 18, beer_C: 18.03 })).toBe(
      'Cooler off: the beer is at 18.0 °C, its target.',
    )
    expect(say({ ...cooler, appliance: 'heater', target_C: 67, beer_C: 66.5 }, hotSide)).toBe(
      'Heater on: the kettle is at 66.5 °C, 0.5 °C below its target.',
    )
    expect(say({ ...cooler, target_C: null, beer_C: 18 })).toBe('Cooler on: the beer is at 18.0 °C.')
    expect(say({ ...cooler, target_C: 18, beer_C: null })).toBe('Cooler on: the controller asks for it.')
  })

  it('say it in °F', () => {
    const units = { ...USUAL_UNITS, temperature: 'F' } as const
    expect(say({ ...cooler, target_C: 18, beer_C: 18.5 }, { units })).toBe(
      'Cooler on: the beer is at 65.3 °F, 0.9 °F above its target.',
    )
  })

  it.each<[SwitchReason, string]>([
    [
      'other appliance runs',
      'Heater off: the cooler is running (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    [
      'changeover',
      'Heater off: too soon after the cooler ran (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    [
      'rest',
      'Heater off: it has to rest after its last run (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    ['beer temperature unknown', 'Heater off: nobody knows how warm the beer is.'],
    [
      'highest limit',
      'Heater off: the beer is at its highest limit (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    [
      'lowest limit',
      'Heater off: the beer is at its lowest limit (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    [
      'no response',
      'Heater off: its last run had no effect, and it waits for the brewer (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    [
      'lapsed',
      'Heater off: its command lapsed, because nobody renewed it in time (the beer is at 18.0 °C, 1.0 °C below its target).',
    ],
    ['batch not running', 'Heater off: the batch is not running.'],
  ])('name the interlock: %s', (why, sentence) => {
    expect(say({ kind: 'switched', appliance: 'heater', on: false, why, target_C: 19, beer_C: 18 })).toBe(
      sentence,
    )
  })

  it('that are held back say why, and for how long', () => {
    expect(say({ kind: 'withheld', appliance: 'cooler', why: 'rest', until_s: 1_800_000_240 })).toBe(
      'Cooler wanted, but held back for 4 min: it has to rest after its last run.',
    )
    expect(
      say({ kind: 'withheld', appliance: 'heater', why: 'beer temperature unknown', until_s: null }),
    ).toBe('Heater wanted, but held back: nobody knows how warm the beer is.')
  })

  it('without effect raise a suspicion', () => {
    expect(
      say({ kind: 'no response', appliance: 'heater', after_s: 2 * HOUR_s, from_C: 17.2, to_C: 17.1 }),
    ).toBe(
      'Heater stopped: after 2 h on, the beer went from 17.2 °C to 17.1 °C, without the rise that was expected. ' +
        'The probe may not be where it belongs, or the heater does not warm.',
    )
    expect(
      say({ kind: 'no response', appliance: 'cooler', after_s: HOUR_s, from_C: 17.2, to_C: 17.21 }),
    ).toBe(
      'Cooler stopped: after 1 h on, the beer stayed at 17.2 °C, without the fall that was expected. ' +
        'The probe may not be where it belongs, or the cooler does not cool.',
    )
  })
})

describe('instruments', () => {
  it('in charge, or nobody', () => {
    const charge = { kind: 'in charge', quantity: 'gravity', instrument: 'Float', before: null } as const
    expect(say(charge)).toBe('Gravity is now taken from Float.')
    expect(say({ ...charge, instrument: 'Hydrometer', before: 'Float' })).toBe(
      'Gravity is now taken from Hydrometer, no longer from Float.',
    )
    expect(say({ ...charge, instrument: null, before: 'Float' })).toBe(
      'Gravity is unknown: no instrument for it can be believed.',
    )
    expect(say({ ...charge, quantity: 'beer', instrument: 'Probe' })).toBe(
      'Beer temperature is now taken from Probe.',
    )
    expect(say({ ...charge, quantity: 'beer', instrument: 'Probe' }, hotSide)).toBe(
      'Kettle temperature is now taken from Probe.',
    )
  })

  it('lost for three reasons, and back', () => {
    const lost = { kind: 'instrument lost', instrument: 'Float', quantity: 'gravity', value: null } as const
    expect(say({ ...lost, why: 'silent' })).toBe(
      'Float silent for more than 2 h: its gravity is no longer believed.',
    )
    expect(say({ ...lost, instrument: 'Probe', quantity: 'beer', why: 'silent' })).toBe(
      'Probe silent for too long: its beer temperature is no longer believed.',
    )
    expect(say({ ...lost, why: 'bad' })).toBe('Float gives no valid gravity: it is no longer believed.')
    expect(say({ ...lost, quantity: 'beer', why: 'bad', value: 85 })).toBe(
      'Float reads 85.0 °C, which can not be right: its beer temperature is no longer believed.',
    )
    expect(say({ ...lost, why: 'jumped', value: 1.09 })).toBe(
      'Float has jumped to 1.090: its gravity is not believed for now.',
    )
    expect(say({ kind: 'instrument back', instrument: 'Meter', quantity: 'oxygen', value: 8 })).toBe(
      'Meter is believed again: its oxygen is 8.00 mg/L.',
    )
  })

  it('that are stuck at one value, and move again', () => {
    const same = { instrument: 'Probe', quantity: 'beer', value: 18.0625 } as const
    const at_s = 1_796_407_200
    const since = { at_s, since_s: at_s - 2 * 86_400 }
    expect(sentenceFor({ kind: 'stuck', ...same, ...since, because: 'time' }, context)).toBe(
      'Probe has shown exactly the same value, 18.1 °C, for 2 d, although a beer and its surroundings do not stand still for so long: it may be stuck.',
    )
    expect(say({ kind: 'moves again', ...same })).toBe('Probe is not stuck any more: it shows 18.1 °C.')
  })

  it('that disagree, and agree again', () => {
    const apart = { quantity: 'beer', instruments: ['Probe', 'Float'], difference: -1.23 } as const
    expect(say({ kind: 'disagree', ...apart })).toBe(
      'Probe and Float disagree about the beer temperature: they are 1.2 °C apart.',
    )
    expect(say({ kind: 'agree', ...apart, quantity: 'gravity', difference: 0.0012 })).toBe(
      'Probe and Float agree again about the gravity: they are 1.2 points apart.',
    )
  })
})

describe('stages', () => {
  it.each<[StageWhy, string]>([
    ['start', 'Crash begins.'],
    [
      'condition',
      'Primary is over, because the gravity is no more than 10 points above the expected final gravity. Crash begins.',
    ],
    ['branch', 'Primary is left by a branch, because the beer is at 26 °C or above. Crash begins.'],
    ['late', 'Primary has lasted its longest time of 10 d. Crash begins.'],
    [
      'fallback',
      'Primary is over by its fallback condition, because the stage has lasted at least 6 days. Crash begins.',
    ],
    ['answer', 'Primary is over, because the brewer said yes. Crash begins.'],
    ['edit', 'The brewer has moved the batch from Primary to Crash.'],
  ])('change by %s', (why, sentence) => {
    expect(say({ kind: 'stage', stage: 'Crash', from: 'Primary', why })).toBe(sentence)
  })

  it('begin, and are told without reasons when nobody hands them over', () => {
    expect(say({ kind: 'stage', stage: 'Primary', from: null, why: 'start' })).toBe('Primary begins.')
    const { reasons: _, ...bare } = context
    const event = { kind: 'stage', at_s: 0, stage: 'Crash', from: 'Primary', why: 'condition' } as const
    expect(sentenceFor(event, bare)).toBe('Primary is over. Crash begins.')
    expect(sentenceFor({ ...event, why: 'late' }, bare)).toBe(
      'Primary has lasted its longest time. Crash begins.',
    )
  })

  it('reach their target, run late, stay undecided, give tasks', () => {
    expect(say({ kind: 'target reached', stage: 'Crash', target_C: 2, beer_C: 2.3 })).toBe(
      'Target of Crash reached: the beer is at 2.3 °C, the target is 2.0 °C.',
    )
    expect(say({ kind: 'late', stage: 'Primary', after_s: 10 * DAY_s, response: 'ask' })).toBe(
      'Primary has lasted its longest time of 10 d: the brewer is asked.',
    )
    expect(say({ kind: 'unknown too long', stage: 'Primary', after_s: 12 * HOUR_s, response: 'use' })).toBe(
      'For 12 h nobody could tell whether Primary may end: the fallback condition decides from now on.',
    )
    expect(say({ kind: 'task', stage: 'Primary', task: 'add dry hops', wait: true })).toBe(
      'Task for the brewer: “Add dry hops”. Primary can not end before it is done.',
    )
    expect(say({ kind: 'task', stage: 'Primary', task: 'Take a sample', wait: false })).toBe(
      'Task for the brewer: “Take a sample”.',
    )
  })
})

describe('questions', () => {
  const question: Question = { id: 3, about: 'go on', stage: 'Primary', text: '', subject: '' }

  it.each<[Partial<Question>, string]>([
    [{}, 'Question 3 to the brewer: may Primary end?'],
    [{ text: 'Clean?' }, 'Question 3 to the brewer: may Primary end? “Clean?”'],
    [{ about: 'branch', subject: 'Crash' }, 'Question 3 to the brewer: may Primary be left for Crash?'],
    [{ about: 'branch', subject: '' }, 'Question 3 to the brewer: may Primary be left, and the plan end?'],
    [{ about: 'late' }, 'Question 3 to the brewer: Primary has lasted its longest time, may it end?'],
    [{ about: 'unknown' }, 'Question 3 to the brewer: nobody can tell whether Primary is ready, may it end?'],
    [{ about: 'task', text: 'Add hops' }, 'Question 3 to the brewer: is “Add hops” done?'],
    [
      { about: 'no response', subject: 'heater' },
      'Question 3 to the brewer: the heater had no effect, may it be switched on again?',
    ],
    [{ about: 'limit' }, 'Question 3 to the brewer: a limit was broken, may the batch go on?'],
  ])('are put: %o', (changes, sentence) => {
    expect(say({ kind: 'asked', question: { ...question, ...changes } })).toBe(sentence)
  })

  it('are answered or withdrawn', () => {
    expect(say({ kind: 'answered', question, answer: 'yes' })).toBe(
      'The brewer answers “yes” to question 3: may Primary end?',
    )
    expect(say({ kind: 'answered', question, answer: 'withdrawn' })).toBe(
      'Question 3 is withdrawn, its reason has gone: may Primary end?',
    )
  })
})

describe('the batch', () => {
  type To = Extract<EngineEvent, { readonly kind: 'batch' }>['to']
  it.each<[To, To, string, string]>([
    ['idle', 'running', '', 'The batch begins, by the plan “Amber ale”.'],
    ['running', 'held', 'the brewer', 'The batch is held in its stage (the brewer).'],
    ['held', 'running', '', 'The batch goes on.'],
    [
      'running',
      'complete',
      'the plan is done',
      'The plan “Amber ale” is complete. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    ['running', 'stopped', 'the brewer', 'The batch is stopped (the brewer). Everything is off.'],
    ['running', 'aborted', '', 'The batch is aborted. Everything is off.'],
    ['complete', 'idle', '', 'The batch is idle.'],
  ])('from %s to %s', (from, to, why, sentence) => {
    expect(say({ kind: 'batch', from, to, why, by: null })).toBe(sentence)
  })
})

describe('the end', () => {
  it.each<[StageWhy | null, string]>([
    [
      'condition',
      'The plan “Amber ale” is complete: the condition of its last stage has come true. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      'branch',
      'The plan “Amber ale” is complete: a branch has led to its end. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      'late',
      'The plan “Amber ale” is complete: its last stage has lasted its longest time. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      'fallback',
      'The plan “Amber ale” is complete: the fallback condition of its last stage has come true. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      'answer',
      'The plan “Amber ale” is complete: the brewer said yes. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      'edit',
      'The plan “Amber ale” is complete. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
    [
      null,
      'The plan “Amber ale” is complete. Never bottle a beer that may not have finished, and never close its vessel without a relief valve.',
    ],
  ])('by %s', (by, sentence) => {
    expect(say({ kind: 'batch', from: 'running', to: 'complete', why: 'the plan is done', by })).toBe(
      sentence,
    )
  })
})

describe('limits', () => {
  it('are broken and kept', () => {
    const limit = { limit: 'highest', limit_C: 24, beer_C: 24.6 } as const
    expect(say({ kind: 'limit broken', ...limit })).toBe(
      'The beer is at 24.6 °C, above the highest limit of 24 °C.',
    )
    expect(say({ kind: 'limit broken', limit: 'lowest', limit_C: 0, beer_C: -0.4 })).toBe(
      'The beer is at -0.4 °C, below the lowest limit of 0 °C.',
    )
    expect(say({ kind: 'limit kept', ...limit, beer_C: 23.9 })).toBe(
      'The beer is at 23.9 °C, back within the highest limit of 24 °C.',
    )
  })
})

describe('a thermostat', () => {
  const set = (part: Partial<Extract<EngineEvent, { readonly kind: 'thermostat set' }>>) =>
    say({ kind: 'thermostat set', set_C: 19, why: 'target', target_C: 19, beer_C: 18.4, ...part })

  it.each<[Parameters<typeof set>[0], string]>([
    [
      {},
      'Thermostat set to 19.0 °C because that is the target of the plan (the beer is at 18.4 °C, 0.6 °C below its target).',
    ],
    [
      { set_C: 4, why: 'range', target_C: 2, beer_C: 4 },
      'Thermostat set to 4.0 °C because that is as near to the target as it can be set (the beer is at 4.0 °C, 2.0 °C above its target).',
    ],
    [
      { why: 'beer temperature unknown', beer_C: null },
      'Thermostat left at 19.0 °C because nobody else knows how warm the beer is, and it measures by itself.',
    ],
    [
      { set_C: 2.5, why: 'air for the beer', target_C: 12, beer_C: 12 },
      'Thermostat set to 2.5 °C because air of that temperature is to bring the beer to its target (the beer is at 12.0 °C, its target).',
    ],
    [
      { set_C: null, why: 'batch not running', target_C: null },
      'Thermostat off because the batch is not running.',
    ],
  ])('%o', (part, sentence) => {
    expect(set(part)).toBe(sentence)
  })

  it('that has no effect', () => {
    const event = {
      after_s: 21_600,
      from_C: 14,
      to_C: 14,
      appliance: 'thermostat',
      towards: 'warmer',
    } as const
    expect(say({ kind: 'no response', ...event })).toBe(
      'Thermostat stopped: after 6 h far from its target, the beer stayed at 14.0 °C, without the rise that was expected. ' +
        'The probe may not be where it belongs, or the thermostat does not warm.',
    )
  })
})
