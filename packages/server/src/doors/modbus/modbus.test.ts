import { afterEach, beforeEach, expect, test } from 'vitest'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
import { leasedSwitch } from '../appliance/leased-switch.ts'
import { type ModbusServer, modbusServer } from '../testing/modbus-server.ts'
import { modbusCoil } from './coil.ts'
import { type ModbusAddress, readRegisters, writeCoil, writeRegisters } from './modbus-tcp.ts'
import { modbusRegister, numberIn, type RegisterSetting, wordsOf } from './register.ts'
import { targetRegister } from './target-register.ts'

let server: ModbusServer
let address: ModbusAddress
beforeEach(async () => {
  server = await modbusServer()
  address = { host: '127.0.0.1', port: server.port, unit: 17 }
})
afterEach(() => server.close())

// The examples of the Modbus Application Protocol 1.1b3, sections 6.3, 6.4 and 6.5, which count from 1 where the protocol
// counts from 0: request 03 00 6B 00 03, answer 03 06 02 2B 00 00 00 64, and so on.
test('asks and understands as the examples of the standard', async () => {
  server.holding.set(0x6b, 0x022b).set(0x6c, 0).set(0x6d, 0x64)
  server.input.set(8, 0x0a)
  server.coils.set(0xac, false)
  expect(await readRegisters(address, 'holding', 0x6b, 3)).toEqual([555, 0, 100])
  expect(await readRegisters(address, 'input', 8, 1)).toEqual([10])
  await writeCoil(address, 0xac, true)
  expect(server.coils.get(0xac)).toBe(true)
  await writeCoil(address, 0xac, false)
  expect(server.coils.get(0xac)).toBe(false)
  expect(server.heard).toEqual(['03006b0003', '0400080001', '0500acff00', '0500ac0000'])
})

// Sections 6.6 and 6.12: register 2 becomes 3, and registers 2 and 3 become 10 and 258.
test('writes as the examples of the standard', async () => {
  server.holding.set(1, 0).set(2, 0)
  await writeRegisters(address, 1, [3])
  expect(server.holding.get(1)).toBe(3)
  await writeRegisters(address, 1, [10, 258])
  expect([server.holding.get(1), server.holding.get(2)]).toEqual([10, 258])
  expect(server.heard).toEqual(['0600010003', '100001000204000a0102'])
  await expect(writeRegisters(address, 7, [3])).rejects.toThrow(/no such address/)
  server.instead.push(request => Buffer.from(request.fill(9, 10)))
  await expect(writeRegisters(address, 1, [3])).rejects.toThrow(/confirms something else/)
})

test('numbers of every type, there and back', () => {
  for (const [value, type] of [
    [-200, 'int16'],
    [65_336, 'uint16'],
    [-200, 'int32'],
    [65_536, 'uint32'],
    [18.5, 'float32'],
  ] as const) {
    expect(numberIn(wordsOf(value, type)!, type)).toBe(value)
  }
  expect(wordsOf(40_000, 'int16')).toBeNull()
  expect(wordsOf(-1, 'uint16')).toBeNull()
  expect(wordsOf(1e39, 'float32')).toBeNull()
})

test('numbers of every type', () => {
  expect(numberIn([0xff38], 'int16')).toBe(-200)
  expect(numberIn([0xff38], 'uint16')).toBe(65_336)
  expect(numberIn([0xffff, 0xff38], 'int32')).toBe(-200)
  expect(numberIn([1, 0], 'uint32')).toBe(65_536)
  // 18.5 in IEEE 754 single precision: 2^4 x 1.15625, exponent 131, fraction 0.15625 x 2^23.
  expect(numberIn([0x4194, 0], 'float32')).toBe(18.5)
})

const setting = (rest: Partial<RegisterSetting> = {}): RegisterSetting => ({
  ...address,
  kind: 'input',
  register: 0,
  type: 'int16',
  lowWordFirst: false,
  scale: 0.1,
  ...rest,
})

test('a register becomes a value with its scale and sign', async () => {
  server.input.set(0, 0xffce).set(1, 0).set(2, 0x4194).set(3, 0x7fc0).set(4, 0)
  expect(await modbusRegister(setting(), '°C').sound()).toEqual({ value: -5, unit: '°C', problem: null })
  const float = setting({ register: 1, type: 'float32', scale: 1, lowWordFirst: true })
  expect(await modbusRegister(float, undefined).sound()).toMatchObject({ value: 18.5 })
  const none = setting({ register: 3, type: 'float32', scale: 1 })
  expect(await modbusRegister(none, undefined).sound()).toMatchObject({
    value: null,
    problem: expect.stringMatching(/holds no number/),
  })
})

test('what a device says that can not, or that is none, becomes a sentence', async () => {
  const problem = async (within_ms?: number) =>
    (await modbusRegister(setting(), undefined, within_ms).sound()).problem
  expect(await problem()).toBe(
    `input register 0 of unit 17 at 127.0.0.1:${server.port}: it has no such address`,
  )
  server.input.set(0, 1)
  const header = (request: Buffer, change: (bytes: Buffer) => unknown, ...pdu: number[]) => {
    const bytes = Buffer.concat([request.subarray(0, 7), Buffer.from(pdu)])
    bytes.writeUInt16BE(pdu.length + 1, 4)
    change(bytes)
    return bytes
  }
  for (const [instead, said] of [
    [() => null, /no answer within 0.1 s/],
    [() => Buffer.from('HTTP/1.1 400 Bad Request\r\n\r\n'), /speaks no Modbus TCP/],
    [(r: Buffer) => header(r, b => b.writeUInt16BE(b.readUInt16BE(0) ^ 1), 4, 2, 0, 1), /somebody else/],
    [(r: Buffer) => header(r, b => b.writeUInt8(18, 6), 4, 2, 0, 1), /somebody else/],
    [(r: Buffer) => header(r, () => undefined, 3, 2, 0, 1), /another question/],
    [(r: Buffer) => header(r, () => undefined, 4, 4, 0, 1, 0, 1), /not the length/],
    [(r: Buffer) => header(r, () => undefined, 4, 2, 0), /not the length/],
    [(r: Buffer) => header(r, () => undefined, 0x84, 11), /does not answer the gateway/],
    [(r: Buffer) => header(r, () => undefined, 0x84, 99), /exception 99/],
    [(r: Buffer) => header(r, b => b.writeUInt16BE(60_000, 4), 4, 2, 0, 1), /speaks no Modbus TCP/],
  ] as const) {
    server.instead.push(instead)
    expect(await problem(100)).toMatch(said)
  }
  expect(await problem()).toBeNull()
  await server.close()
  expect(await problem()).toMatch(/ECONNREFUSED/)
})

test('a coil that is told something else than it confirms is not believed', async () => {
  server.coils.set(0, false)
  server.instead.push(request => Buffer.from(request.fill(0, 10)))
  await expect(writeCoil(address, 0, true)).rejects.toThrow(/confirms something else/)
})

test('a coil is off at the start, on for its lease, and switched off by the door', async () => {
  const clock = new HandClock(1_764_612_000_000)
  server.coils.set(3, true)
  const door = leasedSwitch(modbusCoil({ ...address, coil: 3 }), clock, clock)
  await expect.poll(() => server.coils.get(3)).toBe(false)
  const command = { appliance: 'cooler', on: true, until_s: 1_764_612_900, fence: 7 } as const
  expect(await door.send(command)).toEqual({ sent: true, problem: null, confirmed: 'answer' })
  expect(server.coils.get(3)).toBe(true)
  clock.pass(899)
  expect(await door.send({ ...command, fence: 6, on: false })).toMatchObject({ sent: false })
  expect(server.coils.get(3)).toBe(true)
  clock.pass(1)
  await expect.poll(() => server.coils.get(3)).toBe(false)
  await door.close()
})

test('a target stands in its register with its scale; "off" is written until it has worked', async () => {
  const clock = new HandClock(1_764_612_000_000)
  server.holding.set(3, 0)
  const register = {
    ...address,
    register: 3,
    type: 'int16',
    lowWordFirst: false,
    scale: 0.1,
    off_C: 25,
  } as const
  const door = targetRegister(register, clock, clock, 100)
  const command = { appliance: 'thermostat', target_C: 18.7, until_s: 1_764_612_900, fence: 7 } as const
  expect(await door.send(command)).toEqual({ sent: true, problem: null, confirmed: 'answer' })
  expect(server.holding.get(3)).toBe(187)
  expect(await door.send({ ...command, target_C: -1.5, fence: 8 })).toMatchObject({ sent: true })
  expect(server.holding.get(3)).toBe(0x1_0000 - 15)
  expect(await door.send({ ...command, fence: 7 })).toMatchObject({
    sent: false,
    problem: expect.stringMatching(/fencing number 7 is lower than 8/),
  })
  expect(await door.send({ ...command, target_C: 4000, fence: 9 })).toMatchObject({
    problem: expect.stringMatching(/4000 °C does not fit/),
  })
  // Renewed, it is only looked at; where somebody else has turned it, it is written again.
  const before = server.heard.length
  expect(await door.send({ ...command, target_C: -1.5, fence: 9 })).toMatchObject({ sent: true })
  expect(server.heard.slice(before)).toEqual(['0300030001'])
  server.holding.set(3, 200)
  expect(await door.send({ ...command, target_C: -1.5, fence: 9 })).toMatchObject({ sent: true })
  expect(server.holding.get(3)).toBe(0x1_0000 - 15)
  // Neither read nor written.
  server.instead.push(
    () => null,
    () => null,
  )
  expect(await door.send({ ...command, target_C: null, fence: 10 })).toMatchObject({
    problem: expect.stringMatching(/no answer within 0.1 s/),
  })
  expect(server.holding.get(3)).not.toBe(250)
  clock.pass(5)
  await expect.poll(() => server.holding.get(3)).toBe(250)
  await door.close()
})

test('a target is left in its register when the cellar ends; an "off" that failed is not given up', async () => {
  const clock = new HandClock(1_764_612_000_000)
  server.holding.set(3, 0)
  const register = {
    ...address,
    register: 3,
    type: 'int16',
    lowWordFirst: false,
    scale: 1,
    off_C: 25,
  } as const
  const command = { appliance: 'thermostat', target_C: 18, until_s: 1_764_612_900, fence: 1 } as const
  const kept = targetRegister(register, clock, clock, 100)
  await kept.send(command)
  await kept.close()
  expect(server.holding.get(3)).toBe(18)
  const missed = targetRegister(register, clock, clock, 100)
  server.instead.push(
    () => null,
    () => null,
  )
  await missed.send({ ...command, target_C: null })
  await missed.close()
  expect(server.holding.get(3)).toBe(25)
})
