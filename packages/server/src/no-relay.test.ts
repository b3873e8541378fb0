import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { connectAsync } from 'mqtt'
import { expect, test } from 'vitest'
import { startCellar } from './main.ts'

const example = (name: string) =>
  readFileSync(new URL(`../../../examples/${name}.yaml`, import.meta.url), 'utf8')

/** A minute of the cellar is half a second. */
const SPEED = 120

/**
 * Nothing listened on a heater's topic for half an hour, and the page said that nobody was needed: MQTT takes a command for
 * an appliance that is not there as gladly as for one that is.
 */
test('no relay connected: all is not well at once, it is an alarm after two minutes, and both end when one listens', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-relay-'))
  const raised: string[] = []
  const running = await startCellar({
    dataDir,
    host: '127.0.0.1',
    port: 0,
    mqttPort: 0,
    speed: SPEED,
    log: line => raised.push(line),
  })
  try {
    const { cellar, clock } = running
    const { name } = cellar.putVessel(example('bucket-with-pad.vessel'), '', 'Test')
    const request = { vessel: name, planText: example('amber-ale.plan'), beerText: example('amber-ale.beer') }
    const { batch } = cellar.startBatch({ ...request, overrule: 'A test.' }, 'Test')
    const began_ms = clock.now_ms()
    const view = () => cellar.view(batch!)
    expect(view().verdict).toBe('not well')
    expect(view().heater?.link).toMatchObject({ state: 'unheard', problem: { kind: 'nobody listens' } })
    expect(view().sentence).toContain('The heater was told to be off and has not confirmed it since')
    expect(view().sentence).not.toContain('all is well')

    const alarms = async () => {
      const answer = await fetch(`${running.url}/alarms`)
      const list = (await answer.json()) as readonly { code: string; subject: string; state: string }[]
      return list.filter(({ code }) => code === 'appliance-unreachable')
    }
    await expect.poll(alarms, { timeout: 10_000 }).toMatchObject([{ subject: 'heater', state: 'active' }])
    expect(clock.now_ms() - began_ms).toBeGreaterThanOrEqual(120_000)

    const relay = await connectAsync(running.mqttUrl)
    const topic = 'attemper/bucket-with-a-heating-pad/appliance/heater'
    await relay.subscribeAsync(topic, { qos: 1 })
    await expect.poll(() => view().heater?.link).toMatchObject({ state: 'confirmed', by: 'receipt' })
    await expect.poll(alarms, { timeout: 10_000 }).toMatchObject([{ state: 'returned' }])
    await relay.endAsync(true)
    await expect.poll(() => view().heater?.link?.state).toBe('unheard')
  } finally {
    await running.close()
    rmSync(dataDir, { recursive: true, force: true })
  }
}, 40_000)
