import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { ChannelState, EngineState } from '../engine/contract.ts'
import { initialState } from '../engine/initial.ts'
import { type ApplianceLink, linkAt, newLink } from './appliance-link.ts'
import { readCase } from './batch-case.ts'
import type { BeerMoment } from './course-of-beer.ts'
import { asksForSomebody, doubtsOf, type Standing, verdictOf } from './doubts.ts'
import { sayDoubt } from './say-doubt.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}`, import.meta.url), 'utf8')
const { program, context } = readCase({
  planText: example('amber-ale.plan.yaml'),
  vesselText: example('garage-fridge.vessel.yaml'),
  beerText: example('amber-ale.beer.yaml'),
  localOffset_s: 3600,
}).batch!

const START_s = 1_796_320_800
const NOW_s = START_s + 12 * 3600
const TARGET_C = 18

const confirmed = (appliance: 'heater' | 'cooler'): ApplianceLink => ({
  appliance,
  state: 'confirmed',
  since_s: START_s,
  order: false,
  told_s: START_s,
  confirmedAt_s: START_s,
  by: 'receipt',
  problem: null,
})

function heard(changes: Readonly<Record<string, Partial<ChannelState>>> = {}): Partial<EngineState> {
  const first = initialState(program)
  const inCharge = first.inCharge.slice()
  const channels = first.channels.map((channel, number): ChannelState => {
    const { instrument, quantity } = program.channels[number]!
    const value = program.quantities[quantity]!.isGravity ? 1.03 : TARGET_C
    const next = { ...channel, value, at_s: NOW_s - 10, trusted: true, ...changes[instrument] }
    if (next.trusted && next.value !== null && inCharge[quantity] === -1) inCharge[quantity] = number
    return next
  })
  return { channels, inCharge }
}

function standing(state: Partial<EngineState> = {}, rest: Partial<Standing> = {}): Standing {
  return {
    program,
    context,
    now_s: NOW_s,
    state: {
      ...initialState(program),
      batch: 'running',
      startedAt_s: START_s,
      now_s: NOW_s,
      stageSince_s: START_s,
      target_C: TARGET_C,
      ...heard(),
      ...state,
    },
    links: [confirmed('heater'), confirmed('cooler')],
    past: [],
    alarms: [],
    unwrittenSince_s: null,
    heldBy: null,
    isKept: true,
    ...rest,
  }
}

const kinds = (one: Standing) => doubtsOf(one).map(({ kind }) => kind)
const probe = program.channels.find(({ quantity }) => quantity === program.beer)!.instrument

/** Two hours of a beer that moves by so much each hour, up to now. */
function moving(to_C: number, rate_K_per_h: number, target_C = TARGET_C): readonly BeerMoment[] {
  return Array.from({ length: 25 }, (_, n) => {
    const hours = (n - 24) / 12
    return { at_s: NOW_s + hours * 3600, beer_C: to_C + rate_K_per_h * hours, target_C }
  })
}
const beerAt = (C: number) => heard({ [probe]: { value: C } })

describe('all is well', () => {
  it('is said when all is known to be so', () => {
    expect(doubtsOf(standing())).toEqual([])
    expect(verdictOf([])).toBe('well')
  })

  it('is not said while an appliance has not confirmed what it was told', () => {
    const where = 'attemper/garage-fridge/appliance/cooler'
    const link: ApplianceLink = {
      ...confirmed('cooler'),
      state: 'unheard',
      order: true,
      since_s: NOW_s - 1740,
      problem: { kind: 'nobody listens', where },
    }
    const doubts = doubtsOf(standing({}, { links: [confirmed('heater'), link] }))
    expect(doubts).toEqual([{ kind: 'appliance', link }])
    expect(verdictOf(doubts)).toBe('not well')
    expect(doubts.every(asksForSomebody)).toBe(true)
    const telling = { context, now_s: NOW_s, localOffset_s: 3600, side: 'fermentation' } as const
    expect(sayDoubt(doubts[0]!, telling)).toMatch(
      /^The cooler was told to be on and has not confirmed it since \d\d:\d\d \(nothing listens on attemper\/garage-fridge\/appliance\/cooler\)\.$/,
    )
  })

  it('is unknown, not well, where nobody can tell whether an appliance obeys; being told just now is no doubt', () => {
    const link = linkAt(newLink('cooler', START_s), NOW_s, { patience_s: 30, silence_s: 180 })
    const doubts = doubtsOf(standing({}, { links: [link] }))
    expect(verdictOf(doubts)).toBe('unknown')
    expect(doubts.some(asksForSomebody)).toBe(false)
    const told: ApplianceLink = { ...confirmed('heater'), state: 'told' }
    expect(kinds(standing({}, { links: [told] }))).toEqual([])
  })

  it('is not said of a beer that is 1 K off its target and moves away, stands still, or comes too slowly', () => {
    const judge = (C: number, rate: number) => {
      const [doubt] = doubtsOf(standing(beerAt(C), { past: moving(C, rate) }))
      return doubt?.kind === 'off target' ? doubt.moving : (doubt?.kind ?? 'well')
    }
    expect(judge(19, 0.2)).toBe('away')
    expect(judge(17, -0.2)).toBe('away')
    expect(judge(19, 0)).toBe('not')
    expect(judge(28, -0.03)).toBe('too slowly')
    expect(judge(19, -0.1)).toBe('well')
    expect(judge(18.4, 0.2)).toBe('well')
  })

  it('is said of a crash that is under way, and of a target that has just changed', () => {
    const crash = { ...beerAt(12), target_C: 2 }
    expect(kinds(standing(crash, { past: moving(12, -0.5, 2) }))).toEqual([])
    const justChanged = moving(18, 0, 18)
    expect(kinds(standing({ ...beerAt(18), target_C: 2 }, { past: justChanged }))).toEqual([])
  })

  it('is not said on old readings, also when nobody has called the engine since', () => {
    const { channels, inCharge } = heard()
    const later = { now_s: NOW_s + 86_400 }
    expect(kinds(standing({ channels: channels!, inCharge: inCharge! }, later))).toContain(
      'temperature unknown',
    )
  })

  it('is not said while the float is silent and nothing else measures the gravity', () => {
    const float = program.channels.find(({ quantity }) => quantity === program.gravity)!
    const silent = heard({ [float.instrument]: { at_s: NOW_s - float.silence_s - 60, trusted: false } })
    const inCharge = silent.inCharge!.map((channel, quantity) =>
      quantity === program.gravity ? -1 : channel,
    )
    const doubts = doubtsOf(standing({ ...silent, inCharge }))
    expect(doubts).toMatchObject([{ kind: 'stale', quantity: 'gravity', instrument: float.instrument }])
    expect(verdictOf(doubts)).toBe('unknown')
  })

  it('is not said while something rings or was not seen, is not written down, is held, asked or not kept', () => {
    const alarm = { code: 'broker-unreachable', subject: '', awaySince_s: null } as const
    expect(kinds(standing({}, { alarms: [alarm] }))).toEqual(['alarm'])
    expect(doubtsOf(standing({}, { alarms: [{ ...alarm, awaySince_s: NOW_s - 5 }] }))).toMatchObject([
      { kind: 'alarm', isOver: true },
    ])
    expect(kinds(standing({}, { unwrittenSince_s: NOW_s - 5 }))).toEqual(['records'])
    expect(kinds(standing({}, { isKept: false }))).toEqual(['not kept'])
    expect(kinds(standing({ limitBroken: 'highest' }))).toEqual(['limit broken'])
    const question = { id: 1, about: 'go on', stage: 'Primary', text: 'On?', subject: '' } as const
    expect(kinds(standing({ questions: [question] }))).toEqual(['question'])
    const hold = { since_s: NOW_s - 3600, by: 'brewer', keeps_C: null } as const
    const held = doubtsOf(standing({ batch: 'held', hold }, { heldBy: 'Kim' }))
    expect(held).toEqual([{ kind: 'held', by: 'brewer', who: 'Kim', since_s: NOW_s - 3600 }])
    expect(held.some(asksForSomebody)).toBe(false)
  })

  it('says one cause once: the alarm that says the same as a doubt is left out', () => {
    const link: ApplianceLink = { ...confirmed('heater'), state: 'unheard' }
    const alarms = [{ code: 'appliance-unreachable', subject: 'heater', awaySince_s: null }] as const
    expect(kinds(standing({}, { links: [link], alarms }))).toEqual(['appliance'])
  })

  it('is no question of a batch that has ended; one that is complete is kept, and judged', () => {
    expect(kinds(standing({ batch: 'stopped' }, { isKept: false, unwrittenSince_s: 5 }))).toEqual([])
    expect(kinds(standing({ batch: 'complete' }, { unwrittenSince_s: NOW_s }))).toEqual(['records'])
  })
})
