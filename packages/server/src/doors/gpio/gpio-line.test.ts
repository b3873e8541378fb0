import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { gpioLine } from './gpio-line.ts'
import { gpiosetWords } from './gpioset.ts'

const SETTING = { chip: 'gpiochip0', line: 17, activeLow: false }

let folder: string
let program: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-gpio-'))
  program = join(folder, 'gpioset')
})
afterEach(() => rmSync(folder, { recursive: true }))

/** In the place of gpioset: holds nothing, but keeps a record, and refuses a line that is held, as the kernel does. */
function fakeGpioset(version: string, refuse = ''): void {
  const ends = version.startsWith('2') ? 'kill -KILL $$' : 'exit 0'
  writeFileSync(
    program,
    `#!/bin/sh
case "$*" in
  *--version*) echo "gpioset (libgpiod) v${version}"; exit 0 ;;
esac
${refuse === '' ? '' : `echo "${refuse}" >&2; exit 1`}
trap 'rmdir ${folder}/held; ${ends}' TERM INT
mkdir ${folder}/held 2>/dev/null || { echo "gpioset: error setting the GPIO line values: Device or resource busy" >&2; exit 1; }
echo "$*" >> ${folder}/log
case "$*" in
  *--mode=exit*|*--toggle*) rmdir ${folder}/held; exit 0 ;;
esac
while :; do sleep 0.05; done
`,
  )
  chmodSync(program, 0o755)
}

const log = () => {
  try {
    return readFileSync(join(folder, 'log'), 'utf8').trim().split('\n')
  } catch {
    return []
  }
}

/** Signal mode of 1.6 and the options of 2.x, by the manual pages gpioset(1) of 1.6.3 and 2.2.1. */
test('the words of both versions', () => {
  const low = { ...SETTING, activeLow: true }
  expect(gpiosetWords(low, 1).hold(true)).toEqual(['--active-low', '--mode=signal', 'gpiochip0', '17=1'])
  expect(gpiosetWords(SETTING, 2).hold(false)).toEqual(['--chip', 'gpiochip0', '17=0'])
})

test.each([
  ['1.6.3', '--mode=signal gpiochip0 17=', '--mode=exit gpiochip0 17=0'],
  ['2.2.1', '--chip gpiochip0 17=', '--toggle 0 --chip gpiochip0 17=0'],
])('holds the line of gpioset %s on and off, and lets it go at the end', async (version, hold, offOnce) => {
  fakeGpioset(version)
  const line = gpioLine(SETTING, { program, settle_ms: 20 })
  await line.set(false)
  await expect.poll(log).toEqual([`${hold}0`])
  await line.set(true)
  await expect.poll(log).toEqual([`${hold}0`, offOnce, `${hold}1`])
  await line.set(true)
  await line.set(false)
  await expect.poll(log).toEqual([`${hold}0`, offOnce, `${hold}1`, offOnce, `${hold}0`])
  await line.close()
  expect(log().slice(5)).toEqual([offOnce])
})

test('says why it can not have the line', async () => {
  await expect(gpioLine(SETTING, { program, settle_ms: 100 }).set(true)).rejects.toThrow(
    /comes with libgpiod/,
  )
  const busy = 'gpioset: error setting the GPIO line values: Device or resource busy'
  fakeGpioset('1.6.3', busy)
  await expect(gpioLine(SETTING, { program, settle_ms: 5000 }).set(true)).rejects.toThrow(busy)
  fakeGpioset('1.6.3')
  const line = gpioLine(SETTING, { program, settle_ms: 20 })
  await line.set(true)
  await expect.poll(log).toEqual(['--mode=signal gpiochip0 17=1'])
  await line.close()
})

test('is off when the cellar is killed', async () => {
  fakeGpioset('1.6.3')
  const source = `
    import { gpioLine } from ${JSON.stringify(new URL('./gpio-line.ts', import.meta.url).href)}
    await gpioLine(${JSON.stringify(SETTING)}, { program: ${JSON.stringify(program)}, settle_ms: 50 }).set(true)
    process.stdout.write('on')
    setInterval(() => {}, 1000)`
  const cellar = spawn(process.execPath, ['--input-type=module', '-e', source], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  await once(cellar.stdout, 'data')
  await expect.poll(log).toEqual(['--mode=signal gpiochip0 17=1'])
  cellar.kill('SIGKILL')
  await expect
    .poll(log, { timeout: 5000 })
    .toEqual(['--mode=signal gpiochip0 17=1', '--mode=exit gpiochip0 17=0'])
})
