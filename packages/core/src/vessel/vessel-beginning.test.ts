import fc from 'fast-check'
import { expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { readVessel } from './read-vessel.ts'
import { bucketOnPad, type VesselBeginning, vesselBeginning } from './vessel-beginning.ts'

function read(beginning: VesselBeginning) {
  return readVessel(vesselBeginning(beginning), 'vessel')
}

const beginnings = fc
  .record({
    name: fc.constantFrom('Tank', 'Garage fridge'),
    stands: fc.constantFrom('cabinet', 'room'),
    volume_L: fc.constantFrom(5, 23, 60, 1000),
    heater_W: fc.constantFrom(null, 30, 1500),
    cooler: fc.constantFrom(null, { by: 'jacket', power_W: 300 }, { by: 'cabinet', power_W: 120 }),
    room_C: fc.integer({ min: 5, max: 30 }),
    airProbe: fc.boolean(),
    float: fc.boolean(),
    hydrometer: fc.boolean(),
    thermostat: fc.constantFrom(null, 'beer', 'air'),
  })
  // What chills or follows the air of a cabinet needs one, and a thermostat needs something to switch.
  .filter(({ stands, cooler }) => stands === 'cabinet' || cooler?.by !== 'cabinet')
  .filter(({ stands, thermostat }) => stands === 'cabinet' || thermostat !== 'air')
  .filter(({ heater_W, cooler, thermostat }) => thermostat === null || heater_W !== null || cooler !== null)

test('whatever is answered, the text can be read and says what was answered', ({ task }) => {
  judge(task, {}, [beginnings as fc.Arbitrary<VesselBeginning>], beginning => {
    const { vessel, findings } = read(beginning)
    expect(findings).toEqual([])
    expect(vessel).toMatchObject({ name: beginning.name, volume_L: { value: beginning.volume_L } })
    expect(vessel?.heat.cabinet).toBe(beginning.stands === 'cabinet')
    expect(vessel?.room.mean_C.value).toBe(beginning.room_C)
    expect(vessel?.heater?.power_W.value ?? null).toBe(beginning.heater_W)
    expect(vessel?.cooler?.power_W.value ?? null).toBe(beginning.cooler?.power_W ?? null)
    expect((vessel?.cooler?.toAir_W_per_K ?? 0) > 0).toBe(beginning.cooler?.by === 'cabinet')
    expect(vessel?.thermostat?.follows ?? null).toBe(beginning.thermostat)
    expect(vessel?.instruments.map(({ name }) => name)).toEqual([
      'Probe',
      ...(beginning.airProbe ? ['Air probe'] : []),
      ...(beginning.float ? ['Float'] : []),
      ...(beginning.hydrometer ? ['Hydrometer'] : []),
    ])
  })
})

test('a larger vessel loses its heat more slowly for each litre', () => {
  const loss = (volume_L: number) =>
    read(bucketOnPad(volume_L)).vessel!.heat.wallToAir_W_per_K.value / volume_L
  expect(loss(20)).toBeCloseTo(0.2, 10)
  expect(loss(60)).toBeLessThan(loss(20))
  expect(loss(5)).toBeGreaterThan(loss(20))
})

test('a name that would be something else in YAML stays a name', () => {
  for (const name of ['No. 2: the cold one', 'true', '# 1', '"Tank"', '17']) {
    expect(read({ ...bucketOnPad(20), name }).vessel?.name).toBe(name)
  }
})
