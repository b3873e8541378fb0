import { describe, expect, it } from 'vitest'
import { advance } from './advance.ts'
import { compile } from './compile.ts'
import type { ReadingInput } from './contract.ts'
import { Conversation } from './testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

const PROBE = 0

/** Readings as they come from a network: late, twice, out of order. */
function talk() {
  const engine = new Conversation(
    compile(smallPlan([stage({ name: 'Primary' })]), smallVessel(), smallBeer()),
  )
  const hear = (after_s: number, ...readings: readonly (readonly [ago_s: number, value: number])[]) => {
    engine.now_s += after_s
    const list = readings.map(
      ([ago_s, value]): ReadingInput => ({ channel: PROBE, value, at_s: engine.now_s - ago_s }),
    )
    engine.last = advance(engine.program, engine.state, {
      now_s: engine.now_s,
      readings: list,
      answers: [],
      edits: [],
    })
    engine.state = engine.last.state
    engine.events.push(...engine.last.events)
    return engine.state.channels[PROBE]!
  }
  engine.start({ 'Probe.beer': 18 })
  return { engine, hear }
}

describe('a reading', () => {
  it('that is older than one that is known changes nothing: the beer is not as it was then', () => {
    const { engine, hear } = talk()
    hear(10, [0, 18.2])
    expect(hear(10, [15, 17])).toMatchObject({ value: 18.2, at_s: engine.now_s - 10 })
  })

  it('that comes a second time changes nothing, whatever it says now', () => {
    const { hear } = talk()
    hear(10, [0, 18.2])
    expect(hear(5, [5, 18.9])).toMatchObject({ value: 18.2 })
  })

  it('that comes with others is put in order first', () => {
    const { engine, hear } = talk()
    expect(hear(30, [0, 18.4], [20, 18.2], [10, 18.3])).toMatchObject({ value: 18.4, at_s: engine.now_s })
  })

  it('repeated three times is not three good readings in a row', () => {
    const { engine, hear } = talk()
    hear(10, [0, 500])
    expect(engine.state.channels[PROBE]).toMatchObject({ trusted: false, doubted: true })
    hear(10, [0, 18.2])
    hear(3, [3, 18.2])
    expect(hear(3, [6, 18.2])).toMatchObject({ trusted: false, run: 1 })
    hear(10, [0, 18.2])
    expect(hear(10, [0, 18.2])).toMatchObject({ trusted: true })
  })
})

describe('a jump of more than an instrument can do between two readings', () => {
  // 5 K within 10 s: the probe was pulled out, or the cable has a loose contact.
  it('takes away the trust at once, and it is said; a smaller step does not', () => {
    const { engine, hear } = talk()
    expect(hear(10, [0, 23])).toMatchObject({ trusted: true })
    const lost = hear(10, [0, 17.9])
    expect(lost).toMatchObject({ trusted: false, doubted: true })
    expect(engine.last!.events).toContainEqual({
      kind: 'instrument lost',
      at_s: engine.now_s,
      instrument: 'Probe',
      quantity: 'beer',
      why: 'jumped',
      value: 17.9,
    })
    expect(engine.state.inCharge[engine.program.beer]).toBe(-1)
    expect(engine.state.cooler.on || engine.state.heater.on).toBe(false)
  })

  it('breaks the row of good readings of one that is earning its trust', () => {
    const { hear } = talk()
    hear(10, [0, 500])
    hear(10, [0, 18])
    hear(10, [0, 18])
    expect(hear(10, [0, 23.05])).toMatchObject({ trusted: false })
    expect(hear(10, [0, 23.05])).toMatchObject({ trusted: false })
    expect(hear(10, [0, 23.05])).toMatchObject({ trusted: true })
  })
})
