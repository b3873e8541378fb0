import { expect, test } from 'vitest'
import { REAL_CLOCK } from '../../live/clock.ts'
import { readDoorSettings } from '../door-settings.ts'
import { modbusServer } from '../testing/modbus-server.ts'
import { vesselAppliances } from './vessel-appliances.ts'

test('coils as the doors say; one that can not be switched off at the end does not keep the other from it', async () => {
  const [heater, cooler] = [await modbusServer(), await modbusServer()]
  heater.coils.set(1, false)
  cooler.coils.set(2, false)
  const { settings } = readDoorSettings(
    `heater: { modbus: { host: 127.0.0.1, port: ${heater.port}, coil: 1 } }
cooler: { modbus: { host: 127.0.0.1, port: ${cooler.port}, coil: 2 } }`,
    'doors',
  )
  const publish = () => Promise.reject(new Error('nobody should be told by MQTT'))
  const door = vesselAppliances('Garage fridge', settings!, { publish }, REAL_CLOCK)
  const command = { on: true, until_s: Date.now() / 1000 + 900, fence: 1 }
  expect(await door.send({ ...command, appliance: 'heater' })).toEqual({ sent: true, problem: null })
  expect(await door.send({ ...command, appliance: 'cooler' })).toEqual({ sent: true, problem: null })
  expect([heater.coils.get(1), cooler.coils.get(2)]).toEqual([true, true])
  await heater.close()
  await expect(door.close()).rejects.toThrow(/^coil 1 of unit 1 at 127.0.0.1:\d+ could not be switched off/)
  expect(cooler.coils.get(2)).toBe(false)
  await cooler.close()
})
