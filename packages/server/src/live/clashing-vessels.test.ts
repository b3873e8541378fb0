import type { Command } from '@attemper/core/engine/contract.ts'
import { describe, expect, it } from 'vitest'
import { checkVessel } from '../doors/claims/check-vessel.ts'
import { harmfulClashes } from '../doors/claims/harmful-clashes.ts'
import { CellarError } from './cellar.ts'
import { openCellar } from './open-cellar.ts'
import { sayTrouble } from './say-trouble.ts'
import { MemoryStore } from './testing/memory-store.ts'
import { AMBER, FRIDGE, SmallCellar } from './testing/small-cellar.ts'
import type { Trouble } from './trouble.ts'

const TWIN = FRIDGE.replace('vessel: Garage fridge', 'vessel: Garage-fridge')
const CAVE = FRIDGE.replace('vessel: Garage fridge', 'vessel: Cave')
const ONE_LINE = 'heater: { gpio: { line: 17 } }\ncooler: { gpio: { line: 17 } }'

/** The same records under a cellar that looks for clashes, as `main.ts` joins it. */
function openStrict(house: SmallCellar) {
  const { store, time } = house
  const troubles: Trouble[] = []
  const said: string[] = []
  const cellar = openCellar({
    store,
    clock: time,
    timers: time,
    doorFor: vessel => house.door(vessel.name),
    checkVessel,
    clashes: harmfulClashes,
    log: line => said.push(line),
    onTrouble: trouble => troubles.push(trouble),
  })
  return { cellar, troubles, said }
}

/** A cellar of before, which took everything. */
function oldCellar(): SmallCellar {
  return new SmallCellar(new MemoryStore())
}

const isOff = (command: Command | undefined) => command !== undefined && 'on' in command && !command.on

describe('vessels that would command one appliance', () => {
  it('are refused when they are added, with the line and what would be right', () => {
    const house = oldCellar()
    house.addVessel()
    const { cellar } = openStrict(house)
    const twin = () => cellar.putVessel(TWIN, '', 'Test')
    expect(twin).toThrow(CellarError)
    expect(twin).toThrow(/vessel:\d+: “Garage-fridge” and “Garage fridge” are the same name in topics/)
    expect(() => cellar.putVessel(CAVE, ONE_LINE, 'Test')).toThrow(
      /doors of the vessel has errors: doors:2: Line 17/,
    )
    expect(cellar.vessels().map(({ name }) => name)).toEqual(['Garage fridge'])
    cellar.putVessel(CAVE, 'heater: { gpio: { line: 17 } }', 'Test')
    // Changing another vessel later is no way around it.
    expect(() => cellar.putVessel(FRIDGE, 'cooler: { gpio: { line: 17 } }', 'Test')).toThrow(
      /the heater of Cave/,
    )
  })

  it('of an older version: with a batch in each, neither is commanded, and both are told off', async () => {
    const house = oldCellar()
    house.addVessel()
    house.addVessel(TWIN)
    const one = house.start()
    const other = house.start({ ...AMBER, vessel: 'Garage-fridge' })
    await house.hear({ 'Probe.beer': 12 })
    for (const vessel of ['Garage fridge', 'Garage-fridge']) house.door(vessel).take()

    const { cellar, troubles } = openStrict(house)
    expect(cellar.batchIn('Garage fridge')).toBeNull()
    expect(cellar.batchIn('Garage-fridge')).toBeNull()
    expect(
      troubles
        .filter(({ kind }) => kind === 'not taken up')
        .map(({ batch }) => batch)
        .sort(),
    ).toEqual([one, other].sort())
    expect(sayTrouble(troubles[0]!)).toContain('the same name in topics')
    await cellar.close()
    for (const vessel of ['Garage fridge', 'Garage-fridge']) {
      const commands = house.door(vessel).take()
      expect(commands.map(({ appliance }) => appliance)).toEqual(['heater', 'cooler'])
      expect(commands.every(isOff)).toBe(true)
      const { fence } = house.store.latestState(vessel === 'Garage fridge' ? one : other)!.state
      for (const command of commands) {
        expect(command.fence).toBeGreaterThan(fence)
        expect(command.until_s).toBeGreaterThan(house.now_s)
      }
    }
  })

  it('of an older version: the only batch keeps what both claim, and none begins beside it', async () => {
    const house = oldCellar()
    house.addVessel()
    house.addVessel(TWIN)
    house.addVessel(CAVE)
    const batch = house.start()
    const { cellar, troubles, said } = openStrict(house)
    expect(cellar.batchIn('Garage fridge')).toBe(batch)
    expect(troubles).toEqual([])
    expect(said.join('\n')).toContain('the same name in topics')
    const beside = () => cellar.startBatch({ ...AMBER, vessel: 'Garage-fridge' }, 'Test')
    expect(beside).toThrow(/No batch can begin in Garage-fridge. .* Correct the vessels first/)
    expect(cellar.startBatch({ ...AMBER, vessel: 'Cave' }, 'Test').batch).not.toBeNull()
    await cellar.close()
  })

  it('of an older version: a vessel whose heater and cooler are one line is not commanded', async () => {
    const house = oldCellar()
    house.addVessel()
    const batch = house.start()
    const [record] = house.store.vessels()
    house.store.putVessel({ ...record!, doors: ONE_LINE })
    const { cellar, troubles } = openStrict(house)
    expect(troubles).toMatchObject([{ kind: 'not taken up', why: 'clash', batch }])
    expect(cellar.batchIn('Garage fridge')).toBeNull()
    await cellar.close()
  })
})
