import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { type Alarm, type AlarmAction, stepAlarms } from './alarms.ts'
import { ALARM_KINDS, alarmKind } from './catalogue.ts'
import type { AlarmCondition } from './conditions-of.ts'

const LOST: AlarmCondition = { code: 'instrument-lost', subject: 'Probe' }
const UNKNOWN: AlarmCondition = { code: 'beer-temperature-unknown', subject: '' }
const LIMIT: AlarmCondition = { code: 'limit-broken', subject: 'highest' }
const acknowledge = ({ code, subject }: AlarmCondition): AlarmAction => ({
  kind: 'acknowledge',
  code,
  subject,
})

/** Lets time pass with the same conditions, making steps when they ask for it. */
class Watch {
  alarms: readonly Alarm[] = []
  now_s = 0
  readonly told: string[] = []

  pass(for_s: number, conditions: readonly AlarmCondition[], actions: readonly AlarmAction[] = []): void {
    const end_s = this.now_s + for_s
    let step = this.#step(conditions, actions)
    while (step.wakeAt_s <= end_s) {
      this.now_s = Math.max(this.now_s + 1, step.wakeAt_s)
      step = this.#step(conditions, [])
    }
    this.now_s = end_s
  }

  #step(conditions: readonly AlarmCondition[], actions: readonly AlarmAction[]) {
    const step = stepAlarms(this.alarms, conditions, actions, this.now_s)
    this.alarms = step.alarms
    this.told.push(...step.notices.map(({ change, alarm }) => `${change} ${alarm.code}`))
    return step
  }
}

describe('a clock that was years ahead and has been put right', () => {
  const YEARS_s = 5 * 365 * 86_400

  it('keeps no alarm quiet until it has caught up, on its way up or down or on the shelf', () => {
    const watch = new Watch()
    watch.now_s = YEARS_s
    watch.pass(10, [LIMIT])
    watch.now_s = 0
    watch.pass(70, [LIMIT])
    expect(watch.told).toEqual(['raised limit-broken'])
    watch.now_s = YEARS_s
    watch.pass(1, [])
    watch.now_s = 0
    watch.pass(700, [])
    expect(watch.told).toEqual(['raised limit-broken', 'returned limit-broken'])
    watch.now_s = YEARS_s
    watch.pass(100, [LIMIT])
    const until_s = YEARS_s + 86_400
    watch.pass(10, [LIMIT], [{ ...acknowledge(LIMIT), kind: 'shelve', until_s }])
    watch.now_s = 0
    watch.pass(8 * 86_400, [LIMIT])
    expect(watch.told.at(-1)).toBe('unshelved limit-broken')
  })
})

describe('an alarm (states of ISA-18.2)', () => {
  it('is raised after its delay, acknowledged, and cleared when its condition has gone', () => {
    const watch = new Watch()
    watch.pass(59, [LIMIT])
    expect(watch.told).toEqual([])
    watch.pass(2, [LIMIT])
    expect(watch.alarms[0]!.state).toBe('active')
    watch.pass(10, [LIMIT], [acknowledge(LIMIT)])
    expect(watch.alarms[0]!.state).toBe('acknowledged')
    watch.pass(601, [])
    expect(watch.alarms).toEqual([])
    expect(watch.told).toEqual(['raised limit-broken', 'acknowledged limit-broken', 'cleared limit-broken'])
  })

  it('that returns by itself stays until somebody has seen it', () => {
    const watch = new Watch()
    watch.pass(100, [LIMIT])
    watch.pass(5000, [])
    expect(watch.alarms[0]!.state).toBe('returned')
    watch.pass(1, [], [acknowledge(LIMIT)])
    expect(watch.alarms).toEqual([])
  })

  it('about a question is over once that is answered, and waits for nobody', () => {
    const asked: AlarmCondition = { code: 'question-open', subject: '1' }
    const watch = new Watch()
    watch.pass(100, [asked])
    watch.pass(1, [])
    expect(watch.alarms).toEqual([])
    expect(watch.told).toEqual(['raised question-open', 'cleared question-open'])
  })

  it('that chatters rings once', () => {
    const watch = new Watch()
    watch.pass(100, [LIMIT])
    for (let i = 0; i < 50; i++) {
      watch.pass(120, [])
      watch.pass(120, [LIMIT])
    }
    expect(watch.told.filter(each => each.startsWith('raised'))).toHaveLength(1)
  })

  it('is quiet while its cause rings, and is raised when the cause has gone and it has not', () => {
    const watch = new Watch()
    watch.pass(3600, [LOST, UNKNOWN])
    expect(watch.told).toEqual(['raised beer-temperature-unknown'])
    watch.pass(10, [LOST], [acknowledge(UNKNOWN)])
    watch.pass(3600, [LOST])
    expect(watch.told).toEqual([
      'raised beer-temperature-unknown',
      'acknowledged beer-temperature-unknown',
      'cleared beer-temperature-unknown',
      'raised instrument-lost',
    ])
  })

  it('waits for a cause that is about to be raised, and is raised if that does not last', () => {
    const held: AlarmCondition = { code: 'batch-held', subject: '' }
    const watch = new Watch()
    watch.pass(100, [LIMIT, held])
    expect(watch.told).toEqual(['raised limit-broken'])
    const other = new Watch()
    other.pass(30, [LIMIT, held])
    other.pass(5, [held])
    expect(other.told).toEqual(['raised batch-held'])
  })

  it('is raised although its cause rang, when the cause has returned and nobody has seen it', () => {
    const watch = new Watch()
    watch.pass(3600, [LOST, UNKNOWN])
    watch.pass(301, [LOST])
    expect(watch.told).toEqual([
      'raised beer-temperature-unknown',
      'returned beer-temperature-unknown',
      'raised instrument-lost',
    ])
  })

  it('that has returned must last as long as the first time before it rings again', () => {
    const watch = new Watch()
    watch.pass(1801, [LOST])
    for (let i = 0; i < 20; i++) {
      watch.pass(900, [])
      watch.pass(900, [LOST])
    }
    expect(watch.told).toEqual(['raised instrument-lost', 'returned instrument-lost'])
    watch.pass(1801, [LOST])
    expect(watch.told.slice(2)).toEqual(['raised instrument-lost'])
  })

  it('acknowledged while it begins to come back is over, and the new beginning is counted', () => {
    const watch = new Watch()
    watch.pass(1801, [LOST])
    watch.pass(900, [])
    watch.pass(900, [LOST])
    watch.pass(1, [LOST], [acknowledge(LOST)])
    expect(watch.alarms.map(({ state }) => state)).toEqual(['pending'])
    watch.pass(900, [LOST])
    expect(watch.told.slice(2)).toEqual(['cleared instrument-lost', 'raised instrument-lost'])
  })

  it('can be taken off the shelf before its time', () => {
    const watch = new Watch()
    watch.pass(100, [LIMIT])
    watch.pass(1, [LIMIT], [{ kind: 'shelve', code: 'limit-broken', subject: 'highest', until_s: 4000 }])
    watch.pass(1, [LIMIT], [{ kind: 'unshelve', code: 'limit-broken', subject: 'highest' }])
    expect(watch.alarms[0]!.state).toBe('active')
  })

  it('keeps the latest detail', () => {
    const watch = new Watch()
    watch.pass(100, [{ ...LIMIT, detail: '24.1 °C' }])
    watch.pass(1, [{ ...LIMIT, detail: '24.3 °C' }])
    watch.pass(1, [])
    expect(watch.alarms[0]!.detail).toBe('24.3 °C')
  })

  it('can be shelved, and comes back when its condition is still there', () => {
    const watch = new Watch()
    watch.pass(100, [LIMIT])
    watch.pass(1, [LIMIT], [{ kind: 'shelve', code: 'limit-broken', subject: 'highest', until_s: 4000 }])
    expect(watch.alarms[0]!.state).toBe('shelved')
    watch.pass(4000, [LIMIT])
    expect(watch.told.at(-1)).toBe('unshelved limit-broken')
  })
})

describe('for any story of conditions and actions', () => {
  const condition = fc
    .tuple(fc.constantFrom(...ALARM_KINDS.map(({ code }) => code)), fc.constantFrom('a', 'b'))
    .map(([code, subject]) => ({ code, subject }))
  const step = fc.tuple(
    fc.integer({ min: 1, max: 4000 }),
    fc.uniqueArray(condition, { maxLength: 5, selector: each => each.code + each.subject }),
    fc.option(condition),
  )

  it('nothing is raised twice without having gone, every present condition is known, and the state survives JSON', ({
    task,
  }) => {
    judge(task, {}, [fc.array(step, { maxLength: 40 })], steps => {
      const watch = new Watch()
      const open = new Set<string>()
      for (const [for_s, conditions, seen] of steps) {
        const from = watch.told.length
        watch.pass(for_s, conditions, seen === null ? [] : [acknowledge(seen)])
        expect(JSON.parse(JSON.stringify(watch.alarms))).toEqual(watch.alarms)
        expect(watch.told.length - from).toBeLessThan(60)
        for (const { code, subject } of conditions) {
          expect(watch.alarms.some(alarm => alarm.code === code && alarm.subject === subject)).toBe(true)
        }
        open.clear()
        for (const alarm of watch.alarms) {
          const key = `${alarm.code}|${alarm.subject}`
          expect(open.has(key)).toBe(false)
          open.add(key)
        }
      }
      return steps.reduce((sum, [, conditions]) => sum + conditions.length, 0)
    })
  })

  it('every kind says what to do', () => {
    for (const { code, reason, instruction, causes } of ALARM_KINDS) {
      expect(alarmKind(code).reason).toBe(reason)
      expect(instruction.endsWith('.') || instruction.endsWith('?')).toBe(true)
      expect(causes).not.toContain(code)
    }
  })
})
