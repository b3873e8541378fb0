import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { modbusServer } from '@attemper/server/doors/testing/modbus-server.ts'
import { startCellar } from '@attemper/server/main.ts'
import { afterEach, expect, test } from 'vitest'

const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8')

const closing: (() => unknown)[] = []
afterEach(async () => {
  for (const each of closing.splice(0).reverse()) await each()
})

test('a vessel on wires: the probe is asked, the heater switched, and off when the cellar ends', async () => {
  const plc = await modbusServer()
  closing.push(() => plc.close())
  // 10.0 °C: cold beer, so that the heater is wanted at once.
  plc.input.set(0, 100)
  plc.coils.set(1, false).set(2, false)
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-wired-'))
  closing.push(() => rmSync(dataDir, { recursive: true }))
  const lines: string[] = []
  const running = await startCellar({
    dataDir,
    host: '127.0.0.1',
    port: 0,
    mqttPort: 0,
    speed: 60,
    log: line => lines.push(line),
  })
  closing.push(() => running.close())
  const at = `host: 127.0.0.1, port: ${plc.port}`
  const doors = `
heater: { modbus: { ${at}, coil: 1 } }
cooler: { modbus: { ${at}, coil: 2 } }
listen: { Probe: { modbus: { ${at}, input register: 0, scale: 0.1 } } }
`
  running.cellar.putVessel(example('garage-fridge.vessel.yaml'), doors, 'test')
  const { batch } = running.cellar.startBatch(
    {
      vessel: 'Garage fridge',
      planText: example('amber-ale.plan.yaml'),
      beerText: example('amber-ale.beer.yaml'),
    },
    'test',
  )
  await expect.poll(() => running.cellar.view(batch!).beer_C, { timeout: 15_000 }).toBeCloseTo(10, 9)
  await expect.poll(() => plc.coils.get(1), { timeout: 10_000 }).toBe(true)
  expect(running.cellar.why(batch!, 'heater')).toMatch(/on/)
  await running.close()
  expect([plc.coils.get(1), plc.coils.get(2)]).toEqual([false, false])
  expect(lines.filter(line => /can not|could not/.test(line))).toEqual([])
}, 30_000)
