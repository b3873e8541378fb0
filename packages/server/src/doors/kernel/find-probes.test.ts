import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { findProbes, probeFinder } from './find-probes.ts'
import { KernelFiles } from './kernel-file.ts'

let root: string
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'attemper-found-'))
})
afterEach(() => rmSync(root, { recursive: true }))

function put(path: string, text: string): void {
  mkdirSync(dirname(join(root, path)), { recursive: true })
  writeFileSync(join(root, path), text)
}

test('all that the kernel shows, with what it says now', async () => {
  const files = new KernelFiles(root)
  expect(await findProbes(files)).toEqual([])
  put('sys/bus/w1/devices/28-000000abce07/temperature', '85000\n')
  put('sys/bus/w1/devices/28-000000abcdef/temperature', '18250\n')
  put('sys/bus/w1/devices/w1_bus_master1/w1_master_slaves', '2\n')
  put('sys/class/hwmon/hwmon0/name', 'roomchip\n')
  put('sys/class/hwmon/hwmon0/temp1_input', '19250\n')
  put('sys/class/hwmon/hwmon0/humidity1_input', '63500\n')
  put('sys/class/hwmon/hwmon0/update_interval', '1000\n')
  put('sys/class/hwmon/hwmon2/name', 'soc\n')
  put('sys/class/hwmon/hwmon2/temp1_input', '48312\n')
  put('sys/class/hwmon/hwmon2/temp1_label', 'core\n')
  put('sys/class/hwmon/hwmon10/name', 'soc\n')
  put('sys/class/hwmon/hwmon10/temp2_input', '?\n')
  put('sys/class/hwmon/hwmon10/in0_input', '5\n')
  const good = { label: null, unit: '°C', problem: null }
  expect(await findProbes(files)).toEqual([
    { door: 'one-wire', name: '28-000000abcdef', value: 18.25, ...good },
    {
      ...{ door: 'one-wire', name: '28-000000abce07', value: 85 },
      ...{ ...good, problem: expect.stringContaining('power has just come back') },
    },
    { door: 'hwmon', name: 'roomchip/humidity1', value: 63.5, ...good, unit: '%RH' },
    { door: 'hwmon', name: 'roomchip/temp1', value: 19.25, ...good },
    { door: 'hwmon', name: 'hwmon2/temp1', value: 48.312, ...good, label: 'core' },
    {
      ...{ door: 'hwmon', name: 'hwmon10/temp2', value: null, label: null, unit: null },
      problem: expect.stringContaining('no number'),
    },
  ])
})

test('whoever asks while it is being looked gets the same, and later a fresh look', async () => {
  put('sys/bus/w1/devices/28-000000abcdef/temperature', '18250\n')
  const find = probeFinder(new KernelFiles(root))
  const [first, second] = [find(), find()]
  expect(first).toBe(second)
  expect(await first).toHaveLength(1)
  put('sys/bus/w1/devices/28-000000abcdef/temperature', '19000\n')
  expect(await find()).toMatchObject([{ value: 19 }])
})
