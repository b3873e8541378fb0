import { describe, expect, it } from 'vitest'
import { conditionsOf } from '../alarms/conditions-of.ts'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import { Conversation } from './testing/conversation.ts'
import { channel, instrument, smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

const HOUR_S = 3600
const DAY_S = 24 * HOUR_S

function talk(
  resolution = 0.0625,
  course: Parameters<typeof stage>[0]['course'] = { kind: 'hold', target_C: 18 },
) {
  const vessel = smallVessel({
    instruments: [
      instrument('Probe', 600, [channel({ quantity: 'beer', resolution })]),
      instrument('Float', 1800, [
        channel({ quantity: 'gravity' }),
        channel({ quantity: 'beer', resolution: 0.1 }),
      ]),
    ],
  })
  return new Conversation(compile(smallPlan([stage({ name: 'Primary', course })]), vessel, smallBeer()))
}

const stuck = (engine: Conversation) =>
  engine.events.flatMap(event => (event.kind === 'stuck' ? [[event.instrument, event.because]] : []))
const alarms = (engine: Conversation) =>
  conditionsOf(engine.program, engine.state)
    .filter(({ code }) => code === 'instrument-stuck')
    .map(({ subject }) => subject)

describe('a thermometer that shows exactly one value', () => {
  it('is said to be stuck after two days, not after one, and alarms until it moves again', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(2 * DAY_S, 600, { 'Probe.beer': 18 })
    expect(stuck(engine)).toEqual([])
    engine.keepTelling(DAY_S / 2, 600, { 'Probe.beer': 18 })
    expect(stuck(engine)).toEqual([['Probe', 'time']])
    expect(alarms(engine)).toEqual(['Probe'])
    // It stays in charge: there is no other.
    expect(engine.state.inCharge[engine.program.beer]).toBe(0)
    engine.tell(600, { 'Probe.beer': 18.0625 })
    expect(alarms(engine)).toEqual([])
    expect(engine.events.at(-1)).toMatchObject({ kind: 'moves again', instrument: 'Probe', value: 18.0625 })
  })

  it.each([
    [0.0625, 2.5],
    [0.1, 2.5],
    [0.5, 10.5],
  ])(
    'with a display of %d °C is said to be stuck within %d days, not in half of them',
    (resolution, days) => {
      const engine = talk(resolution)
      engine.start({ 'Probe.beer': 18 })
      engine.keepTelling((days / 2) * DAY_S, 600, { 'Probe.beer': 18 })
      expect(stuck(engine)).toEqual([])
      engine.keepTelling((days / 2) * DAY_S, 600, { 'Probe.beer': 18 })
      expect(stuck(engine)).toEqual([['Probe', 'time']])
    },
  )

  it('is never stuck as long as it shows another one once a day', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18 })
    for (let day = 0; day < 6; day++) {
      engine.keepTelling(DAY_S - 600, 600, { 'Probe.beer': 18 })
      engine.tell(600, { 'Probe.beer': 18.0625 })
    }
    expect(stuck(engine)).toEqual([])
  })

  it('hands over to another one that has moved meanwhile, and the two are one alarm', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.beer': 18 })
    for (let n = 0; n < 54; n++) {
      engine.keepTelling(1800, 600, { 'Probe.beer': 18 })
      engine.tell(0, { 'Float.beer': 18 + 0.04 * n })
    }
    expect(stuck(engine)).toEqual([['Probe', 'others']])
    const { inCharge, channels } = engine.state
    expect(channels[0]).toMatchObject({ trusted: true })
    expect(engine.program.channels[inCharge[engine.program.beer]!]!.instrument).toBe('Float')
  })

  it('while a cooler that has moved it before runs on and on is stuck after some hours', () => {
    // The response watch lets an appliance at its limit go on; so a beer could be chilled for days by a frozen probe.
    const engine = talk(0.0625, { kind: 'hold', target_C: 10 })
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(HOUR_S, 600, { 'Probe.beer': 18 })
    engine.keepTelling(600, 600, { 'Probe.beer': 17.5 })
    expect(engine.state.cooler.on).toBe(true)
    engine.keepTelling(14 * HOUR_S, 600, { 'Probe.beer': 17.5 })
    expect(engine.kinds()).not.toContain('no response')
    expect(stuck(engine)).toEqual([['Probe', 'cooler']])
  })

  it('through a restart of the software goes on to be counted', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18 })
    for (let day = 0; day < 3; day++) {
      engine.keepTelling(DAY_S - 600, 600, { 'Probe.beer': 18 })
      engine.tell(600, { 'Probe.beer': 18 }, [{ kind: 'restarted' }])
    }
    expect(stuck(engine)).toEqual([['Probe', 'time']])
  })

  it('that falls silent is lost, and not stuck', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18 })
    engine.keepTelling(2.5 * DAY_S, 600, { 'Probe.beer': 18 })
    expect(alarms(engine)).toEqual(['Probe'])
    engine.tell(DAY_S)
    expect(alarms(engine)).toEqual([])
    expect(engine.kinds()).not.toContain('moves again')
  })

  it('is no concern of a float for gravity, whose beer may have finished, nor of a batch that is over', () => {
    const engine = talk()
    engine.start({ 'Probe.beer': 18, 'Float.gravity': 1.05 })
    for (let n = 0; n < 300; n++) {
      engine.tell(1800, { 'Probe.beer': 18 + (n % 2) / 8, 'Float.gravity': 1.05 })
    }
    expect(stuck(engine)).toEqual([])
    engine.tell(10, {}, [{ kind: 'stop' }])
    engine.keepTelling(4 * DAY_S, 3600, { 'Probe.beer': 18 })
    expect(stuck(engine)).toEqual([])
  })
})

it('a state of an older version, which knows nothing of standing still, is taken up', () => {
  const engine = talk()
  engine.start({ 'Probe.beer': 18 })
  const { lookedAt_s: _, ...older } = engine.state
  const channels = older.channels.map(({ still: _still, stuckSince_s: _stuck, ...each }) => each)
  const now_s = engine.now_s + 600
  const readings = [{ channel: 0, value: 18, at_s: now_s }]
  const { state } = advance(
    engine.program,
    { ...older, channels },
    { now_s, readings, answers: [], edits: [] },
  )
  expect(state.lookedAt_s).toBe(now_s)
})
