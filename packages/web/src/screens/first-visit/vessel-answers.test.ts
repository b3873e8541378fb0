import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { vesselBeginning } from '@attemper/core/vessel/vessel-beginning.ts'
import { expect, test } from 'vitest'
import { readAnswers, usualAnswers } from './vessel-answers.ts'

const USUAL = usualAnswers(USUAL_UNITS)

test('the usual answers make a vessel without a finding, in any units', () => {
  for (const units of [USUAL_UNITS, { temperature: 'F', gravity: 'P', volume: 'gal' }] as const) {
    const { beginning } = readAnswers(usualAnswers(units))
    const { vessel, findings } = readVessel(vesselBeginning(beginning!), 'vessel')
    expect(findings).toEqual([])
    expect(vessel!.volume_L.value).toBeCloseTo(20, 0)
    expect(vessel!.room.mean_C.value).toBeCloseTo(16, 0)
  }
})

test('what can not be read is said at its field', () => {
  expect(readAnswers({ ...USUAL, volume: 'much', heater: '0 W', name: ' ' })).toMatchObject({
    beginning: null,
    problems: {
      name: 'It needs a name.',
      volume: expect.any(String),
      heater: expect.stringContaining('30 W'),
    },
  })
  // Nobody has to write down the power of what is not there.
  expect(readAnswers({ ...USUAL, heats: false, heater: '' }).beginning).toMatchObject({ heater_W: null })
})

test('answers that do not go together become what can be', () => {
  const room = { ...USUAL, stands: 'room', switches: 'thermostat', follows: 'air' } as const
  expect(readAnswers(room).beginning).toMatchObject({ cooler: { by: 'jacket' }, thermostat: 'beer' })
  const bare = { ...room, heats: false, cools: 'no' } as const
  expect(readAnswers(bare).beginning).toMatchObject({ cooler: null, heater_W: null, thermostat: null })
})
