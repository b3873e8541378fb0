import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { modbusServer } from '@attemper/server/doors/testing/modbus-server.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { afterEach, expect, test } from 'vitest'
import { CellarProcess } from './cellar-process.ts'

const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8')
const VESSEL = example('garage-fridge.vessel.yaml').replaceAll('every: 5 s', 'every: 1 s')
const HOUR_MS = 3_600_000
const YEARS_MS = 5 * 365 * 24 * HOUR_MS
/** The command of the example lasts for 15 min. */
const LEASE_S = 900

const closing: (() => unknown)[] = []
afterEach(async () => {
  for (const each of closing.splice(0).reverse()) await each()
})

/** A probe and two coils on a wire; the input register holds tenths of a degree. */
async function wired() {
  const plc = await modbusServer()
  closing.push(() => plc.close())
  plc.coils.set(1, false).set(2, false)
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-clock-'))
  closing.push(() => rmSync(dataDir, { recursive: true, force: true }))
  const at = `host: 127.0.0.1, port: ${plc.port}`
  const doors = `
heater: { modbus: { ${at}, coil: 1 } }
cooler: { modbus: { ${at}, coil: 2 } }
listen: { Probe: { modbus: { ${at}, input register: 0, scale: 0.1 } } }
`
  const start = async (clock_ms: number) => {
    const cellar = new CellarProcess()
    closing.push(() => cellar.kill())
    const { url } = await cellar.start({ dataDir, host: '127.0.0.1', port: 0, mqttPort: 0 }, clock_ms)
    const ask = async <Answer>(path: string, body?: unknown): Promise<Answer> => {
      const response = await fetch(`${url}${path}`, {
        method: body === undefined ? 'GET' : 'POST',
        headers: { 'x-attemper': '1', 'content-type': 'application/json' },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      })
      return (await response.json()) as Answer
    }
    return { cellar, ask }
  }
  return { plc, doors, start }
}

test('killed with the heater on and started an hour back: the coil falls, and what is hot is not heated', async () => {
  const { plc, doors, start } = await wired()
  plc.input.set(0, 100)
  const first = await start(0)
  await first.ask('/vessels', { text: VESSEL, doors })
  const request = {
    vessel: 'Garage fridge',
    plan: example('amber-ale.plan.yaml'),
    beer: example('amber-ale.beer.yaml'),
  }
  const { batch } = await first.ask<{ batch: string }>('/batches', request)
  await expect.poll(() => plc.coils.get(1), { timeout: 20_000 }).toBe(true)
  const before = await first.ask<BatchView>(`/batches/${batch}`)
  await first.cellar.kill()
  expect(plc.coils.get(1), 'a plain coil stays as it was').toBe(true)

  // Meanwhile the beer has become hot, and the board has forgotten the time.
  plc.input.set(0, 500)
  const second = await start(-HOUR_MS)
  await expect.poll(() => plc.coils.get(1), { timeout: 20_000 }).toBe(false)
  const alarms = await second.ask<readonly { code: string }[]>('/alarms')
  expect(alarms.map(({ code }) => code)).toContain('clock-wrong')
  for (let second_s = 0; second_s < 8; second_s++) {
    await new Promise(resolve => setTimeout(resolve, 1000))
    expect(plc.coils.get(1)).toBe(false)
    const { state, now_ms } = await second.ask<BatchView>(`/batches/${batch}`)
    expect(state.heater.on).toBe(false)
    expect(state.heater.leaseUntil_s ?? 0).toBeLessThanOrEqual(now_ms / 1000 + LEASE_S)
    expect(state.now_s).toBeLessThanOrEqual(now_ms / 1000)
  }

  // The clock goes years ahead and back: the batch is as old as it was, and no command lasts for years.
  second.cellar.setClock(YEARS_MS)
  await new Promise(resolve => setTimeout(resolve, 3000))
  const ahead = await second.ask<BatchView>(`/batches/${batch}`)
  expect(ahead.now_ms / 1000 - ahead.state.startedAt_s!).toBeLessThan(300)
  second.cellar.setClock(HOUR_MS - YEARS_MS)
  await new Promise(resolve => setTimeout(resolve, 3000))
  const after = await second.ask<BatchView>(`/batches/${batch}`)
  expect(after.stage).toBe(before.stage)
  expect(after.now_ms / 1000 - after.state.startedAt_s!).toBeLessThan(300)
  expect(after.state.heater.leaseUntil_s ?? 0).toBeLessThanOrEqual(after.now_ms / 1000 + LEASE_S)
}, 180_000)
