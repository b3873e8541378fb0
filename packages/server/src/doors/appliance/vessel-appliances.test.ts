import { expect, test } from 'vitest'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
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
  const clock = new HandClock(1_764_612_000_000)
  const publish = () => Promise.reject(new Error('nobody should be told by MQTT'))
  const door = vesselAppliances('Garage fridge', settings!, { publish }, clock, clock)
  const command = { on: true, until_s: 1_764_612_900, fence: 1 }
  expect(await door.send({ ...command, appliance: 'heater' })).toEqual({
    sent: true,
    problem: null,
    confirmed: 'answer',
  })
  expect(await door.send({ ...command, appliance: 'cooler' })).toEqual({
    sent: true,
    problem: null,
    confirmed: 'answer',
  })
  expect([heater.coils.get(1), cooler.coils.get(2)]).toEqual([true, true])
  await heater.close()
  let problem: unknown = null
  const closing = door.close().catch(error => {
    problem = error
  })
  await expect
    .poll(
      () => {
        clock.pass(5)
        return String(problem)
      },
      { interval: 5 },
    )
    .toMatch(/coil 1 of unit 1 at 127.0.0.1:\d+ could not be switched off/)
  await closing
  expect(cooler.coils.get(2)).toBe(false)
  await cooler.close()
})
