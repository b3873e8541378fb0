import { describe, expect, it } from 'vitest'
import { compile } from './compile.ts'
import type { SwitchCommand } from './contract.ts'
import { inOrder } from './draft.ts'
import { Conversation } from './testing/conversation.ts'
import { smallBeer, smallPlan, smallVessel, stage } from './testing/small-house.ts'

/** Leases of 901 s, an odd number: half of it is rounded up, so that a renewal comes early rather than late. */
const LEASE_S = 901
const HALF_S = 451

function heating() {
  const vessel = smallVessel({ interlocks: { ...smallVessel().interlocks, lease_s: LEASE_S } })
  const engine = new Conversation(compile(smallPlan([stage({ name: 'Primary' })]), vessel, smallBeer()))
  const told: SwitchCommand[] = []
  engine.onCall = ({ commands }) => told.push(...(commands as readonly SwitchCommand[]))
  engine.start({ 'Probe.beer': 17.5 })
  engine.keepTelling(60, 10, { 'Probe.beer': 17.6 })
  const on = told.findLast(({ on }) => on)!
  return { engine, told, on }
}

describe('a command', () => {
  it('is a lease with a fence, and is renewed when half of it is over, to the second', () => {
    const { engine, told, on } = heating()
    const given_s = on.until_s - LEASE_S
    expect(engine.state.heater).toMatchObject({ on: true, leaseUntil_s: on.until_s })
    expect(engine.state.fence).toBe(on.fence)
    const count = told.length
    const renewal_s = on.until_s - HALF_S
    engine.keepTelling(Math.floor((renewal_s - 1 - engine.now_s) / 10) * 10, 10, { 'Probe.beer': 17.6 })
    engine.tell(renewal_s - 1 - engine.now_s)
    expect(told).toHaveLength(count)
    expect(engine.last!.stands.until_s).toBe(renewal_s)
    engine.tell(1)
    expect(told.slice(count)).toEqual([
      { appliance: 'heater', on: true, until_s: renewal_s + LEASE_S, fence: on.fence + 1 },
    ])
    expect(engine.last!.stands.until_s).toBe(renewal_s + LEASE_S - HALF_S)
    expect(given_s).toBeLessThan(renewal_s)
  })

  it('to go off is given once, keeps the end of the lease, and is not renewed', () => {
    const { engine, told, on } = heating()
    const count = told.length
    engine.tell(10, { 'Probe.beer': 18 })
    expect(told.slice(count)).toEqual([
      { appliance: 'heater', on: false, until_s: engine.now_s + LEASE_S, fence: on.fence + 1 },
    ])
    expect(engine.state.heater).toMatchObject({ on: false, leaseUntil_s: on.until_s })
    engine.keepTelling(3 * LEASE_S, 10, { 'Probe.beer': 18 })
    expect(told).toHaveLength(count + 1)
  })

  it('goes to what the vessel has, and to nothing else', () => {
    const { cooler: _, ...vessel } = smallVessel()
    const engine = new Conversation(compile(smallPlan([stage({ name: 'Primary' })]), vessel, smallBeer()))
    const { commands } = engine.tell(0, {}, [{ kind: 'start' }])
    expect(commands).toMatchObject([{ appliance: 'heater', on: false }])
  })
})

describe('readings', () => {
  it('are put in the order of their times, and of their channels at one time; an ordered list is left as it is', () => {
    const read = (at_s: number, channel: number) => ({ at_s, channel, value: 18 })
    const ordered = [read(1, 2), read(2, 0), read(2, 1), read(3, 0)]
    expect(inOrder(ordered)).toBe(ordered)
    expect(inOrder([read(3, 0), read(2, 1), read(1, 2), read(2, 0)])).toEqual(ordered)
    expect(inOrder([read(2, 1), read(2, 0)])).toEqual([read(2, 0), read(2, 1)])
  })
})
