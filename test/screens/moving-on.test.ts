/**
 * A batch that moves on while somebody looks: it asks, is answered on the page of the cellar, and goes to its next stage;
 * its probe falls silent, which rings until somebody sees to it. The probe speaks over HTTP, at sixty times the usual speed.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarProcess } from '../live/cellar-process.ts'
import { accessFaults, hasBrowser, layoutShift, openBrowser, PHONE, visit } from './browser.ts'

const PATIENCE = { timeout: 60_000 }

const VESSEL = readFileSync(new URL('../../examples/bucket-with-pad.vessel.yaml', import.meta.url), 'utf8')
  // A reading in each second of this test.
  .replace('every: 10 s', 'every: 1 min')

const PLAN = `plan: Asks before it begins
stages:
  - stage: Settle
    hold: 18 °C
    until: { stage lasted: 5 min }
    ask first: Is the airlock in?
  - stage: Primary
    hold: 18 °C
    until: { stage lasted: 3 d }
`

const BEER = `beer: Pale one
original gravity: 1.048
final gravity: 1.010 ± 2 points
starts at: 18 °C
start: 2026-12-04T18:00
yeast:
  class: ale
  comfort: { lowest: 16 °C, highest: 23 °C }
  attenuation: { lowest: 70 %, highest: 84 % }
`

describe.skipIf(!hasBrowser)('a batch that moves on, in a browser', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-moving-on-'))
  const cellar = new CellarProcess()
  let browser: Browser
  let url = ''

  beforeAll(async () => {
    browser = await openBrowser()
    url = (await cellar.start({ dataDir, host: '127.0.0.1', port: 0, mqttPort: 0, speed: 60 })).url
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  const post = (path: string, body: unknown) =>
    fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-attemper': '1' },
      body: JSON.stringify(body),
    })

  /** The probe reads 18 °C until it is unplugged. */
  function plugIn(): () => void {
    const speak = () => post('/readings', [{ n: 'bucket-with-a-heating-pad/probe/beer', u: 'Cel', v: 18 }])
    void speak()
    const timer = setInterval(speak, 500)
    return () => clearInterval(timer)
  }

  test('asks, moves on, falls silent, rings, and is seen to', { timeout: 240_000 }, async () => {
    expect((await post('/vessels', { text: VESSEL })).status).toBe(201)
    const unplug = plugIn()
    try {
      const started = await post('/batches', {
        vessel: 'Bucket with a heating pad',
        plan: PLAN,
        beer: BEER,
        overrule: 'It is only to be looked at.',
      })
      expect(await started.json()).toMatchObject({ batch: expect.any(String) })
      const { page, faults } = await visit(browser, url, PHONE)
      const question = page.getByText('May Settle end? “Is the airlock in?”', { exact: true })
      await question.waitFor(PATIENCE)
      await page.getByRole('heading', { level: 1, name: 'Pale one needs you' }).waitFor(PATIENCE)
      // The question came while somebody looked: it moved nothing that may be under a thumb.
      expect(await layoutShift(page)).toBeLessThan(0.05)
      expect(await accessFaults(page)).toEqual([])
      await page.getByRole('button', { name: 'End the stage', exact: true }).click()
      await page.getByRole('dialog').getByRole('button', { name: 'End the stage now' }).click()
      await question.waitFor({ state: 'hidden', ...PATIENCE })
      await page
        .getByText(/Pale one: in Primary/)
        .first()
        .waitFor(PATIENCE)

      await page.getByRole('listitem').getByRole('link', { name: 'Bucket with a heating pad' }).click()
      await page.getByRole('heading', { level: 1, name: /Pale one: in Primary/ }).waitFor(PATIENCE)
      await page.getByText(/Settle is over, .* Primary begins\./).waitFor(PATIENCE)

      unplug()
      await page.getByText('The temperature of the beer is unknown.').first().waitFor(PATIENCE)
      expect(await accessFaults(page)).toEqual([])
      await page.goto(`${url}/#/cellar`)
      await page.getByRole('button', { name: 'I see to it' }).first().click()
      const seen = page.locator('section', {
        has: page.getByRole('heading', { name: 'Seen, or quiet for a while' }),
      })
      await seen.getByText('The temperature of the beer is unknown.').waitFor(PATIENCE)
      expect(faults).toEqual([])
      await page.context().close()
    } finally {
      unplug()
    }
  })
})
