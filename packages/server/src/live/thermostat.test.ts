import { expect, it } from 'vitest'
import { ManualTime } from './testing/manual-time.ts'
import { AMBER, example, SmallCellar, smallCellar } from './testing/small-cellar.ts'

const TANK = example('jacketed-tank.vessel.yaml').replaceAll('every: 30 s', 'every: 60 s')
const VESSEL = 'Jacketed tank'

const targets = (house: SmallCellar) =>
  house
    .door(VESSEL)
    .take()
    .map(command => (command.appliance === 'thermostat' ? command.target_C : command.appliance))

/** A tank whose thermostat holds the beer at 18 °C for ten minutes. */
async function tank() {
  const house = smallCellar()
  house.addVessel(TANK)
  await house.hearTwice({ 'Probe.beer': 18.4, 'Float.gravity': 1.05 }, VESSEL)
  const batch = house.start({ ...AMBER, vessel: VESSEL })
  await house.keepHearing(10, { 'Probe.beer': 18.4 }, VESSEL)
  return { house, batch }
}

it('a thermostat is told its target, and the batch tells to what it is set, and why', async () => {
  const { house, batch } = await tank()
  expect(targets(house)).toEqual([18])
  const { heater, cooler, thermostat } = house.cellar.view(batch)
  expect([heater, cooler]).toEqual([null, null])
  expect(thermostat?.target_C).toBe(18)
  expect(thermostat?.why).toMatch(/^Thermostat set to 18\.0 °C because that is the target of the plan/)
  expect(thermostat?.why).toMatch(/Unless it is renewed, the command lapses on 4 December 2026 at 18:3\d/)
  expect(house.cellar.why(batch, 'thermostat')).toBe(thermostat?.why)
  expect(house.cellar.why(batch, 'cooler')).toBe(
    'Heating and cooling of Jacketed tank are left to its thermostat.',
  )
})

it('after the software was away, the thermostat is told again what it was told', async () => {
  const { house, batch } = await tank()
  const before = Math.max(...house.door(VESSEL).commands.map(({ fence }) => fence))
  const again = new SmallCellar(house.store, new ManualTime(house.time.now_ms() + 30_000))
  const [first] = again.door(VESSEL).commands
  expect(first).toMatchObject({ appliance: 'thermostat', target_C: 18 })
  expect(first!.fence).toBeGreaterThan(before)
  expect(again.cellar.view(batch).thermostat).toMatchObject({
    target_C: 18,
    why: expect.stringContaining('Thermostat left at 18.0 °C because'),
  })
  await again.keepHearing(2, { 'Probe.beer': 18.4 }, VESSEL)
  expect(again.cellar.view(batch).thermostat?.why).toContain('Thermostat set to 18.0 °C because')
})

it('a batch that is stopped sets it to off, and says so', async () => {
  const { house, batch } = await tank()
  targets(house)
  house.cellar.stop(batch, 'Test')
  expect(targets(house)).toEqual([null])
  expect(house.cellar.why(batch, 'thermostat')).toBe(
    'Thermostat off since the batch ended on 4 December 2026 at 18:10.',
  )
})
