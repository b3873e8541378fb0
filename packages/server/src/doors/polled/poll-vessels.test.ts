import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { HandClock } from '../../alarms/testing/hand-clock.ts'
import type { VesselRecord } from '../../store/store.ts'
import { testIntake, testVessel } from '../testing/heard.ts'
import { type ModbusServer, modbusServer } from '../testing/modbus-server.ts'
import { pollVessels } from './poll-vessels.ts'

const AT_MS = 1_764_612_000_000
const ID = '28-000000abcdef'
let root: string
let stop: () => void = () => undefined
let server: ModbusServer | null = null
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'attemper-polled-'))
  mkdirSync(join(root, 'sys/bus/w1/devices', ID), { recursive: true })
})
afterEach(async () => {
  stop()
  rmSync(root, { recursive: true })
  await server?.close()
})

const put = (milli: string) => writeFileSync(join(root, 'sys/bus/w1/devices', ID, 'temperature'), milli)

function house(...doors: string[]) {
  const clock = new HandClock(AT_MS)
  const intake = testIntake()
  const lines: string[] = []
  const vessels: VesselRecord[] = doors.map((each, index) => testVessel(each, `Fridge ${index + 1}`))
  stop = pollVessels({
    vessels: () => vessels,
    intake,
    clock,
    timers: clock,
    root,
    log: line => lines.push(line),
  })
  /** Waits for one round to end: the timer of the next look, and one for each instrument. */
  const rounds = (instruments = 1) => expect.poll(() => clock.waiting).toBe(1 + instruments)
  return { clock, intake, lines, vessels, rounds }
}

test('a probe is asked as often as the vessel file says', async () => {
  put('18250')
  const { clock, intake, lines, rounds } = house(`listen: { probe: { one-wire: ${ID} } }`)
  await rounds()
  clock.pass(4)
  put('18500')
  clock.pass(1)
  await rounds()
  const stream = { vessel: 'Fridge 1', instrument: 'Probe', quantity: 'beer' }
  expect(intake.reports).toEqual([
    { ...stream, value: 18.25, at_ms: AT_MS, status: 'good' },
    { ...stream, value: 18.5, at_ms: AT_MS + 5000, status: 'good' },
  ])
  expect(lines).toEqual([])
})

test('what is wrong is a bad reading and a sentence; said once, and that it is over', async () => {
  const { clock, intake, lines, rounds } = house(`listen: { Probe: { one-wire: ${ID} } }`)
  for (const milli of ['85000', '', '-127000', '18250', '18312']) {
    put(milli)
    clock.pass(5)
    await rounds()
  }
  expect(intake.reports.map(({ value, status }) => [value, status])).toEqual([
    [85, 'bad'],
    [-127, 'bad'],
    [18.25, 'good'],
    [18.312, 'good'],
  ])
  expect(lines).toEqual([
    expect.stringMatching(/^Probe of Fridge 1 can not be read: 1-Wire probe 28-000000abcdef: /),
    'Probe of Fridge 1 can be read again.',
  ])
})

test('which quantity, and in which unit', async () => {
  server = await modbusServer()
  server.holding.set(4, 644)
  const modbus = `{ host: 127.0.0.1, port: ${server.port}, holding register: 4, scale: 0.1 }`
  const { intake, lines, rounds } = house(
    `listen: { Float: { modbus: ${modbus}, quantity: beer, unit: °F } }`,
    `listen: { Float: { one-wire: ${ID} }, Prob: { one-wire: ${ID} }, Air probe: { one-wire: ${ID}, quantity: pH } }`,
  )
  await rounds()
  expect(intake.reports).toEqual([
    {
      vessel: 'Fridge 1',
      instrument: 'Float',
      quantity: 'beer',
      value: expect.closeTo(18, 9),
      at_ms: AT_MS,
      status: 'good',
    },
  ])
  expect(lines).toEqual([
    'Float of Fridge 2 is not listened to. Float measures gravity and beer. Say which is read, as in quantity: gravity. Correct the doors.',
    'Prob of Fridge 2 is not listened to. The vessel has no instrument “Prob”. Did you mean “Probe”? Correct the doors.',
    'Air probe of Fridge 2 is not listened to. Air probe does not measure pH. It measures air. Correct the doors.',
  ])
})

test('a vessel that is changed is asked anew, one that is gone no more', async () => {
  put('18250')
  const { clock, intake, vessels, rounds } = house('')
  await rounds(0)
  expect(intake.reports).toHaveLength(0)
  vessels[0] = testVessel(`listen: { Probe: { one-wire: ${ID} } }`, 'Fridge 1')
  clock.pass(10)
  await rounds()
  expect(intake.reports).toHaveLength(1)
  vessels.length = 0
  clock.pass(10)
  await rounds(0)
  const before = intake.reports.length
  clock.pass(60)
  await rounds(0)
  expect(intake.reports).toHaveLength(before)
})
