import type { AlarmCondition } from '@attemper/core/alarms/conditions-of.ts'
import { describe, expect, it } from 'vitest'
import type { AlarmChange, AlarmPlace } from './alarm-change.ts'
import { ALARM_DOCUMENT } from './alarm-document.ts'
import { type AlarmKeeper, openAlarms } from './alarm-keeper.ts'
import { HandClock } from './testing/hand-clock.ts'
import { PaperStore } from './testing/paper-store.ts'

const EVENING_MS = Date.UTC(2026, 10, 24, 20)
const PLACE: AlarmPlace = { batch: '2026-11-20-amber', vessel: 'Garage', name: 'Amber' }
const LIMIT: AlarmCondition = { code: 'limit-broken', subject: 'highest' }
const LOST: AlarmCondition = { code: 'instrument-lost', subject: 'Probe' }
const UNKNOWN: AlarmCondition = { code: 'beer-temperature-unknown', subject: '' }

/** A cellar whose software can be stopped and started again. */
class Bench {
  readonly clock = new HandClock(EVENING_MS)
  readonly store = new PaperStore()
  readonly told: string[] = []
  readonly troubles: string[] = []
  keeper: AlarmKeeper

  constructor() {
    this.keeper = this.#open()
  }

  restart(away_s: number): void {
    this.keeper.close()
    this.clock.pass(away_s)
    this.keeper = this.#open()
  }

  /** Goes away without a word, as after kill -9. */
  kill(): void {
    this.clock.forget()
    this.keeper = this.#open()
  }

  #open(): AlarmKeeper {
    return openAlarms({
      store: this.store,
      clock: this.clock,
      timers: this.clock,
      notify: changes => this.told.push(...changes.map(printChange)),
      onTrouble: ({ kind }) => this.troubles.push(kind),
    })
  }
}

function printChange({ change, alarm, by }: AlarmChange): string {
  return `${change} ${alarm.id} ${alarm.code}${by === null ? '' : ` by ${by}`}`
}

describe('the alarms of a batch', () => {
  it('ring once, however many readings say the same', () => {
    const { keeper, clock, store, told } = new Bench()
    for (let i = 0; i < 3600; i++) {
      keeper.updateBatch(PLACE, [LIMIT])
      clock.pass(1)
    }
    expect(told).toEqual(['raised 1 limit-broken'])
    expect(store.writes).toBe(1)
    expect(clock.waiting).toBe(0)
  })

  it('ring when their delay is over, although nobody calls', () => {
    const { keeper, clock, told } = new Bench()
    keeper.updateBatch(PLACE, [LIMIT])
    clock.pass(59)
    expect(told).toEqual([])
    clock.pass(2)
    expect(told).toEqual(['raised 1 limit-broken'])
    expect(keeper.list()).toMatchObject([
      {
        id: 1,
        place: PLACE,
        priority: 'high',
        sentence: 'The beer is warmer than the highest limit.',
        raisedAt_s: EVENING_MS / 1000 + 60,
      },
    ])
  })

  it('are held down while they chatter, and consequences are quiet', () => {
    const { keeper, clock, told } = new Bench()
    for (let i = 0; i < 40; i++) {
      keeper.updateBatch(PLACE, i % 4 === 3 ? [LOST] : [LOST, UNKNOWN])
      clock.pass(i % 4 === 3 ? 100 : 600)
    }
    expect(told).toEqual(['raised 1 beer-temperature-unknown'])
  })

  it('of several batches at once are written once', () => {
    const { keeper, clock, store, told } = new Bench()
    for (let i = 0; i < 200; i++) {
      keeper.updateBatch({ ...PLACE, batch: `b${i}` }, [LIMIT])
    }
    clock.pass(61)
    expect(told).toHaveLength(200)
    expect(store.writes).toBe(1)
  })

  it('are acknowledged and shelved by somebody, which is recorded', () => {
    const { keeper, clock, store, told } = new Bench()
    keeper.updateBatch(PLACE, [LIMIT])
    clock.pass(61)
    expect(keeper.acknowledge(1, 'Kim')).toMatchObject({ state: 'acknowledged', seenBy: 'Kim' })
    expect(keeper.acknowledge(1, 'Sam').seenBy).toBe('Kim')
    keeper.shelve(1, clock.now_ms() + 3_600_000, 'Sam')
    expect(() => keeper.acknowledge(1, 'Kim')).toThrow(/shelf/)
    clock.pass(3601)
    expect(keeper.list()[0]!.state).toBe('active')
    keeper.shelve(1, clock.now_ms() + 3_600_000, 'Sam')
    expect(keeper.unshelve(1, 'Sam').state).toBe('active')
    expect(told).toEqual([
      'raised 1 limit-broken',
      'acknowledged 1 limit-broken by Kim',
      'shelved 1 limit-broken by Sam',
      'unshelved 1 limit-broken',
      'shelved 1 limit-broken by Sam',
      'unshelved 1 limit-broken by Sam',
    ])
    expect(store.entries.map(({ who, what }) => `${who}: ${what}`)).toEqual([
      'Kim: alarm 1 acknowledged: Garage, Amber: The beer is warmer than the highest limit.',
      'Sam: alarm 1 shelved until 2026-11-24T21:01:01.000Z: Garage, Amber: The beer is warmer than the highest limit.',
      expect.stringContaining('Sam: alarm 1 shelved until'),
      expect.stringContaining('Sam: alarm 1 taken off the shelf'),
    ])
  })

  it('that can not be acted upon say why', () => {
    const { keeper, clock } = new Bench()
    expect(() => keeper.acknowledge(7, 'Kim')).toThrow('There is no alarm 7 now; it may be over.')
    keeper.updateBatch(PLACE, [LIMIT])
    expect(() => keeper.acknowledge(1, 'Kim')).toThrow('no alarm 1')
    clock.pass(61)
    for (const until_ms of [Number.NaN, clock.now_ms(), clock.now_ms() + 8 * 86_400_000]) {
      expect(() => keeper.shelve(1, until_ms, 'Kim')).toThrow('up to 7 d')
    }
    expect(() => keeper.unshelve(1, 'Kim')).toThrow('not on the shelf')
  })

  it('go to listeners until they have heard enough, and one that throws disturbs nobody', () => {
    const { keeper, clock, troubles } = new Bench()
    const heard: string[] = []
    keeper.onChange(() => {
      throw new Error('gone')
    })
    const stop = keeper.onChange(change => heard.push(printChange(change)))
    keeper.updateBatch(PLACE, [LIMIT])
    clock.pass(61)
    stop()
    keeper.acknowledge(1, 'Kim')
    expect(heard).toEqual(['raised 1 limit-broken'])
    expect(troubles).toEqual(['listener failed', 'listener failed'])
  })
})

describe('after a restart', () => {
  it('an alarm is neither forgotten nor rung again, and an acknowledgement stands', () => {
    const bench = new Bench()
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.keeper.report({ code: 'appliance-unreachable', subject: 'heater', place: PLACE }, 'no answer')
    bench.clock.pass(200)
    bench.keeper.acknowledge(1, 'Kim')
    const before = bench.keeper.list()
    const told = [...bench.told]
    bench.restart(7200)
    expect(bench.keeper.list()).toEqual(before)
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.keeper.report({ code: 'appliance-unreachable', subject: 'heater', place: PLACE }, 'no answer')
    bench.keeper.settle()
    bench.clock.pass(7200)
    expect(bench.told).toEqual(told)
  })

  it('of the kind that gives no warning nothing is lost that was told', () => {
    const bench = new Bench()
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.clock.pass(61)
    bench.kill()
    expect(bench.keeper.list()).toMatchObject([{ id: 1, state: 'active' }])
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.clock.pass(3600)
    expect(bench.told).toEqual(['raised 1 limit-broken'])
  })

  it('what was about to ring is counted anew, so that an upgrade calls nobody', () => {
    const bench = new Bench()
    bench.keeper.updateBatch(PLACE, [LOST])
    bench.clock.pass(600)
    bench.restart(7200)
    bench.keeper.updateBatch(PLACE, [LOST])
    bench.clock.pass(1790)
    expect(bench.told).toEqual([])
    bench.clock.pass(20)
    expect(bench.told).toEqual(['raised 1 instrument-lost'])
  })

  it('what nobody mentions is over', () => {
    const bench = new Bench()
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.clock.pass(61)
    bench.restart(60)
    bench.clock.pass(7200)
    expect(bench.told).toHaveLength(1)
    bench.keeper.settle()
    bench.clock.pass(601)
    expect(bench.told.slice(1)).toEqual(['returned 1 limit-broken'])
    bench.keeper.acknowledge(1, 'Kim')
    expect(bench.keeper.list()).toEqual([])
  })

  it('a number is never given twice', () => {
    const bench = new Bench()
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.clock.pass(61)
    bench.keeper.acknowledge(1, 'Kim')
    bench.keeper.updateBatch(PLACE, [])
    bench.clock.pass(700)
    expect(bench.keeper.list()).toEqual([])
    bench.restart(1)
    bench.keeper.updateBatch(PLACE, [LIMIT])
    bench.clock.pass(61)
    expect(bench.told.at(-1)).toBe('raised 2 limit-broken')
  })

  it('on top of garbage it starts anew and keeps the garbage', () => {
    const store = new PaperStore()
    const clock = new HandClock(EVENING_MS)
    const open = () => openAlarms({ store, clock, timers: clock, notify: () => [] })
    for (const text of ['', '{', '[]', '{"version":2}', '{"version":1,"nextId":1e308,"scopes":[]}', 'null']) {
      store.documents.set(ALARM_DOCUMENT, text)
      expect(open().list()).toEqual([])
      expect(store.documents.get(`${ALARM_DOCUMENT}.unreadable`)).toBe(text)
    }
    const scopes = [null, { place: 5, alarms: [] }, { place: null, alarms: [null, { alarm: { code: 'x' } }] }]
    store.documents.set(ALARM_DOCUMENT, JSON.stringify({ version: 1, nextId: 4, scopes }))
    expect(open().list()).toEqual([])
  })
})

describe('the alarms of the cellar itself', () => {
  it('come and go as they are reported', () => {
    const { keeper, clock, told } = new Bench()
    keeper.report({ code: 'channel-failed', subject: 'mail' }, 'refused')
    clock.pass(10)
    expect(keeper.list()).toMatchObject([{ place: null, detail: 'refused' }])
    keeper.acknowledge(1, 'Kim')
    keeper.report({ code: 'channel-failed', subject: 'mail' }, null)
    clock.pass(3700)
    expect(keeper.list()).toEqual([])
    expect(told).toEqual([
      'raised 1 channel-failed',
      'acknowledged 1 channel-failed by Kim',
      'cleared 1 channel-failed',
    ])
  })

  it('that were there before a restart are over when they are reported so', () => {
    const bench = new Bench()
    bench.keeper.report({ code: 'channel-failed', subject: 'mail' }, 'refused')
    bench.keeper.report({ code: 'storage-trouble', subject: '' }, 'full')
    bench.clock.pass(10)
    bench.restart(10)
    bench.keeper.report({ code: 'storage-trouble', subject: '' }, null)
    bench.clock.pass(4000)
    expect(bench.keeper.list().map(({ code, state }) => `${code} ${state}`)).toEqual([
      'storage-trouble returned',
      'channel-failed active',
    ])
  })

  it('an appliance that is not reached explains why the temperature does not answer', () => {
    const { keeper, clock, told } = new Bench()
    keeper.report({ code: 'appliance-unreachable', subject: 'heater', place: PLACE }, 'no answer')
    clock.pass(600)
    keeper.updateBatch(PLACE, [{ code: 'no-response', subject: 'heater' }])
    clock.pass(600)
    expect(told).toEqual(['raised 1 appliance-unreachable'])
  })
})

describe('on a full disk', () => {
  it('alarms still ring, the trouble is told once, and all is written when there is room', () => {
    const { keeper, clock, store, told, troubles } = new Bench()
    store.isFull = true
    keeper.updateBatch(PLACE, [LIMIT])
    clock.pass(61)
    expect(told).toEqual(['raised 1 limit-broken'])
    expect(() => keeper.acknowledge(1, 'Kim')).toThrow('could not be written down')
    expect(troubles).toEqual(['records failing'])
    store.isFull = false
    clock.pass(31)
    expect(troubles).toEqual(['records failing', 'records kept again'])
    expect(store.documents.get(ALARM_DOCUMENT)).toContain('"seenBy":"Kim"')
  })
})

it('an alarm that an older version kept with the beginning of a sentence as its subject ends with its appliance', () => {
  const bench = new Bench()
  const [code, place] = ['appliance-unreachable', PLACE] as const
  bench.keeper.updateBatch(PLACE, [])
  bench.keeper.report({ code, subject: 'heater', place }, 'no answer')
  bench.clock.pass(121)
  const text = bench.store.documents.get(ALARM_DOCUMENT)!
  bench.store.documents.set(ALARM_DOCUMENT, text.replace('"subject":"heater"', '"subject":"The heater"'))
  bench.kill()
  expect(bench.keeper.list().map(({ subject }) => subject)).toEqual(['heater'])
  bench.keeper.report({ code, subject: 'heater', place }, null)
  bench.clock.pass(121)
  expect(bench.keeper.list().map(({ state }) => state)).toEqual(['returned'])
})

it('an alarm says which other one explains it, so that one cause can be shown as one', () => {
  const { keeper, clock } = new Bench()
  const question: AlarmCondition = { code: 'question-open', subject: '3', detail: 'mended?' }
  keeper.updateBatch(PLACE, [question, { code: 'no-response', subject: 'heater' }])
  clock.pass(1)
  keeper.report({ code: 'appliance-unreachable', subject: 'heater', place: PLACE }, 'no answer')
  clock.pass(121)
  const listed = keeper.list()
  const relay = listed.find(({ code }) => code === 'appliance-unreachable')!
  expect(relay.cause).toBeNull()
  expect(listed.filter(({ cause }) => cause === relay.id).map(({ code }) => code)).toEqual(['no-response'])
})
