import { existsSync } from 'node:fs'
import { madeUpRehearsal } from '@attemper/core/report/testing/made-up-rehearsal.ts'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { rehearsalPage } from './page.ts'

/** Needs a browser, which is no part of an ordinary install: CHROMIUM names one, else Debian's place is tried. */
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium'

describe.skipIf(!existsSync(CHROMIUM))('the page in a browser', () => {
  let browser: Browser
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: CHROMIUM,
      args: ['--no-sandbox', '--disable-dev-shm-usage'],
    })
  })
  afterAll(() => browser.close())

  async function open(width: number, colorScheme: 'light' | 'dark') {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme })
    const faults: string[] = []
    page.on('pageerror', error => faults.push(error.message))
    page.on('console', message => {
      if (message.type() === 'error') faults.push(message.text())
    })
    page.on('request', request => {
      if (/^(https?|wss?):/.test(request.url())) faults.push(request.url())
    })
    const html = rehearsalPage(madeUpRehearsal(), {
      units: { temperature: 'C', gravity: 'SG', volume: 'L' },
      start: { text: '2026-12-04T18:00', local_s: Date.UTC(2026, 11, 4, 18) / 1000 },
      command: 'attemper rehearse plan.yaml --vessel vessel.yaml --beer beer.yaml --runs 200 --seed 1',
      version: '0.1.0',
    })
    await page.setContent(html, { waitUntil: 'load' })
    return { page, faults }
  }

  test.each([
    [360, 'light'],
    [360, 'dark'],
    [1280, 'light'],
  ] as const)(
    'draws four charts at %d px (%s), fetches nothing, and never scrolls sideways',
    async (width, scheme) => {
      const { page, faults } = await open(width, scheme)
      expect(await page.locator('canvas').count()).toBe(4)
      expect(faults).toEqual([])
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width)
      for (const box of await page.locator('canvas').all()) {
        expect((await box.boundingBox())!.width).toBeGreaterThan(width * 0.6)
      }
      await page.close()
    },
  )

  test('says the values under the cursor, by pointer and by keyboard, in all charts of time at once', async () => {
    const { page } = await open(1280, 'light')
    const box = (await page.locator('#chart-temperature').boundingBox())!
    await page.mouse.move(box.x + box.width * 0.95, box.y + 100)
    // The made-up ale is chilled to 2 °C in the end.
    await expect
      .poll(() => page.locator('#readout-temperature').textContent())
      .toMatch(/^Day 1\d\.\d: median 2\.0 °C/)
    expect(await page.locator('#readout-gravity').textContent()).toMatch(/^Day 1\d\.\d: median 1\.012;/)
    await page.locator('#chart-path').focus()
    await page.keyboard.press('ArrowRight')
    // The path begins at the original gravity, on the left.
    await expect
      .poll(() => page.locator('#readout-path').textContent())
      .toMatch(/^At 1\.050: median 18\.0 °C/)
    await page.close()
  })
})
