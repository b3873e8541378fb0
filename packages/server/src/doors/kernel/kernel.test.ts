import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { hwmonInput } from './hwmon.ts'
import { KernelFiles } from './kernel-file.ts'
import { oneWireProbe } from './one-wire.ts'

let root: string
let files: KernelFiles
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'attemper-kernel-'))
  files = new KernelFiles(root)
})
afterEach(() => rmSync(root, { recursive: true }))

function put(path: string, text: string): void {
  mkdirSync(dirname(join(root, path)), { recursive: true })
  writeFileSync(join(root, path), text)
}

const ID = '28-000000abcdef'
const PROBE = `sys/bus/w1/devices/${ID}`
/** The form of the kernel's Documentation/w1/slaves/w1_therm; bytes of the data sheet's table of temperatures. */
const raw = (crc: 'YES' | 'NO', milli: number) =>
  `91 01 4b 46 7f ff 0f 10 25 : crc=25 ${crc}\n91 01 4b 46 7f ff 0f 10 25 t=${milli}\n`

test('a probe, by either of its files', async () => {
  const probe = oneWireProbe(ID, files)
  put(`${PROBE}/w1_slave`, raw('YES', 25_062))
  expect(await probe.sound()).toEqual({ value: 25.062, unit: '°C', problem: null })
  put(`${PROBE}/temperature`, '-1250\n')
  expect(await probe.sound()).toEqual({ value: -1.25, unit: '°C', problem: null })
})

test('what it says when something is wrong is not believed', async () => {
  const probe = oneWireProbe(ID, files)
  expect(await probe.sound()).toMatchObject({
    value: null,
    problem: expect.stringMatching(/does not see it/),
  })
  for (const [milli, said] of [
    [85_000, /power has just come back/],
    [-127_000, /outside of what it can measure/],
    [127_937, /outside of what it can measure/],
  ] as const) {
    put(`${PROBE}/temperature`, String(milli))
    expect(await probe.sound()).toMatchObject({ value: milli / 1000, problem: expect.stringMatching(said) })
  }
  put(`${PROBE}/temperature`, '')
  put(`${PROBE}/w1_slave`, raw('NO', 25_062))
  expect(await probe.sound()).toMatchObject({ value: 25.062, problem: expect.stringMatching(/garbled/) })
  for (const text of ['', 'garbage\n', '\u0000\u00ff']) {
    put(`${PROBE}/w1_slave`, text)
    expect(await probe.sound()).toMatchObject({ value: null, problem: expect.stringMatching(/no answer/) })
  }
  rmSync(join(root, PROBE, 'w1_slave'))
  mkdirSync(join(root, PROBE, 'w1_slave'))
  expect(await probe.sound()).toMatchObject({ value: null, problem: expect.stringMatching(/EISDIR/) })
})

test('85 °C that is approached is a temperature', async () => {
  const probe = oneWireProbe(ID, files)
  const problems: (string | null)[] = []
  for (const milli of [83_500, 85_000, 85_000, 20_000, 85_000]) {
    put(`${PROBE}/temperature`, String(milli))
    problems.push((await probe.sound()).problem)
  }
  expect(problems.map(problem => problem === null)).toEqual([true, true, true, true, false])
})

test('a chip of hwmon by its name or its number', async () => {
  put('sys/class/hwmon/hwmon0/name', 'cpu_thermal\n')
  put('sys/class/hwmon/hwmon0/temp1_input', '48312\n')
  put('sys/class/hwmon/hwmon1/name', 'roomchip\n')
  put('sys/class/hwmon/hwmon1/temp1_input', '19250\n')
  put('sys/class/hwmon/hwmon1/humidity1_input', '63500\n')
  const sound = (written: string) => hwmonInput(written, files).sound()
  expect(await sound('roomchip/temp1')).toEqual({ value: 19.25, unit: '°C', problem: null })
  expect(await sound('roomchip/humidity1')).toEqual({ value: 63.5, unit: '%RH', problem: null })
  expect(await sound('hwmon0/temp1')).toMatchObject({ value: 48.312 })
  expect((await sound('otherchip/temp1')).problem).toBe(
    'otherchip/temp1: the kernel has no such chip; there are: cpu_thermal, roomchip',
  )
  expect((await sound('roomchip/temp2')).problem).toMatch(/no temp2_input/)
  put('sys/class/hwmon/hwmon1/temp1_fault', '1\n')
  expect(await sound('roomchip/temp1')).toMatchObject({
    value: 19.25,
    problem: expect.stringMatching(/sensor is faulty/),
  })
  put('sys/class/hwmon/hwmon1/humidity1_input', '?')
  expect(await sound('roomchip/humidity1')).toMatchObject({ value: null })
  put('sys/class/hwmon/hwmon2/name', 'roomchip\n')
  expect((await sound('roomchip/temp1')).problem).toMatch(/write hwmon1 or hwmon2 instead/)
  rmSync(join(root, 'sys'), { recursive: true })
  expect((await sound('roomchip/temp1')).problem).toMatch(/it has none/)
})
