import { describe, expect, it } from 'vitest'
import { followLink, type LinkNews, linkAt, linkChangesAt_s, newLink } from './appliance-link.ts'

const LIMITS = { patience_s: 30, silence_s: 180 }
const WHERE = 'attemper/bucket/appliance/heater'

const link = (...news: readonly LinkNews[]) => news.reduce(followLink, newLink('heater', 0))
const told = (at_s: number, fence: number, order: boolean | number | null = true) =>
  ({ kind: 'told', at_s, fence, order }) as const
const listening = (at_s: number, listens: boolean | null, takesReceipt = true) =>
  ({ kind: 'listening', at_s, listens, takesReceipt, where: WHERE }) as const

describe('an appliance', () => {
  it('to which nobody listens is unheard at once, since the command that it missed', () => {
    const memory = link(told(100, 1), listening(100, false))
    expect(linkAt(memory, 101, LIMITS)).toMatchObject({
      state: 'unheard',
      since_s: 100,
      order: true,
      problem: { kind: 'nobody listens', where: WHERE },
    })
    // A renewal does not make the trouble younger.
    expect(linkAt(followLink(memory, told(550, 2)), 560, LIMITS).since_s).toBe(100)
  })

  it('that takes a message has confirmed it; one that takes none is unheard after some patience', () => {
    const open = link(listening(0, true), told(100, 1))
    expect(linkAt(open, 110, LIMITS).state).toBe('told')
    expect(linkAt(open, 131, LIMITS)).toMatchObject({ state: 'unheard', since_s: 100 })
    expect(linkChangesAt_s(open, 110, LIMITS)).toBe(131)
    expect(linkChangesAt_s(open, 131, LIMITS)).toBe(Number.POSITIVE_INFINITY)
    const taken = followLink(open, { kind: 'confirmed', at_s: 101, fence: 1, by: 'receipt' })
    expect(linkAt(taken, 5000, LIMITS)).toMatchObject({
      state: 'confirmed',
      by: 'receipt',
      confirmedAt_s: 101,
    })
    // Renewed: it stays confirmed while it may still answer.
    const renewed = followLink(taken, told(550, 2))
    expect(linkAt(renewed, 560, LIMITS)).toMatchObject({ state: 'confirmed', since_s: 101 })
    expect(linkAt(renewed, 600, LIMITS)).toMatchObject({ state: 'unheard', since_s: 550 })
  })

  it('that reports is believed by its reports, not by a receipt', () => {
    const reporting = link(
      listening(0, true),
      { kind: 'report', at_s: 50, order: false, fence: 0 },
      told(100, 1),
      { kind: 'confirmed', at_s: 100, fence: 1, by: 'receipt' },
    )
    expect(linkAt(reporting, 105, LIMITS).state).toBe('told')
    const obeys = followLink(reporting, { kind: 'report', at_s: 101, order: true, fence: 1 })
    expect(linkAt(obeys, 110, LIMITS)).toMatchObject({ state: 'confirmed', by: 'report' })
    const other = followLink(obeys, { kind: 'report', at_s: 150, order: false, fence: 1 })
    expect(linkAt(other, 151, LIMITS)).toMatchObject({
      state: 'refused',
      since_s: 150,
      problem: { kind: 'does other', order: false },
    })
    expect(linkAt(obeys, 282, LIMITS)).toMatchObject({ state: 'unheard', problem: { kind: 'silent' } })
    const foreign = followLink(obeys, { kind: 'report', at_s: 160, order: false, fence: 9 })
    expect(linkAt(foreign, 161, LIMITS).problem).toEqual({ kind: 'obeys another' })
    // Late: it tells of the command before.
    const late = followLink(followLink(obeys, told(170, 2, false)), {
      kind: 'report',
      at_s: 171,
      order: true,
      fence: 1,
    })
    expect(linkAt(late, 172, LIMITS).state).toBe('told')
  })

  it('that went away and comes back must confirm anew: it may have been switched off meanwhile', () => {
    const back = link(
      listening(0, true),
      told(100, 1),
      { kind: 'confirmed', at_s: 100, fence: 1, by: 'receipt' },
      listening(200, false),
      listening(300, true),
    )
    expect(linkAt(back, 301, LIMITS)).toMatchObject({ state: 'told', since_s: 300 })
    const again = followLink(back, { kind: 'confirmed', at_s: 301, fence: 1, by: 'receipt' })
    expect(linkAt(again, 302, LIMITS)).toMatchObject({ state: 'confirmed', since_s: 301 })
  })

  it('behind a broker that does not say who listens is unknown, unless it reports', () => {
    const sent = link(told(100, 1), { kind: 'cannot know', at_s: 100, fence: 1 })
    expect(linkAt(sent, 200, LIMITS)).toMatchObject({ state: 'unknown', since_s: 100 })
    const reports = followLink(sent, { kind: 'report', at_s: 101, order: true, fence: 1 })
    expect(linkAt(reports, 200, LIMITS).state).toBe('confirmed')
  })

  it('whose door failed is unheard until one command gets through; what an older one met with does not count', () => {
    const door = { kind: 'door', said: 'no answer within 5 s' } as const
    const failed = link(told(100, 1), { kind: 'unheard', at_s: 105, fence: 1, problem: door })
    expect(linkAt(failed, 400, LIMITS)).toMatchObject({ state: 'unheard', since_s: 100, problem: door })
    const renewed = followLink(failed, told(550, 2))
    const well = followLink(renewed, { kind: 'confirmed', at_s: 551, fence: 2, by: 'answer' })
    const late = followLink(well, { kind: 'unheard', at_s: 552, fence: 1, problem: door })
    expect(linkAt(late, 553, LIMITS)).toMatchObject({ state: 'confirmed', since_s: 551, by: 'answer' })
  })

  it('that was told nothing is known to be there when it listens', () => {
    expect(linkAt(link(), 5, LIMITS).state).toBe('unknown')
    expect(linkAt(link(listening(1, true)), 5, LIMITS).state).toBe('confirmed')
    expect(linkAt(link(listening(1, false)), 5, LIMITS)).toMatchObject({ state: 'unheard', told_s: null })
  })

  it('a thermostat’s target is the same but for the digits that were printed', () => {
    const set = link(told(100, 1, 18.7), { kind: 'report', at_s: 101, order: 18.699, fence: 1 })
    expect(linkAt(set, 102, LIMITS)).toMatchObject({ state: 'confirmed', order: 18.7 })
  })
})
