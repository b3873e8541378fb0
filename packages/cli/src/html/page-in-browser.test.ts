import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { builtPage } from './built-page.ts'
import { rehearsalPage } from './page.ts'
import { madeUpPage } from './testing/made-up-page.ts'

/** Needs a browser, which is no part of an ordinary install: CHROMIUM names one, else Debian's place is tried. */
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium'

/** What is drawn anew comes with a later frame, and on a busy machine late. */
const PATIENTLY = { timeout: 20_000 }

describe.skipIf(!existsSync(CHROMIUM))('the page in a browser', () => {
  let browser: Browser
  const folder = mkdtempSync(join(tmpdir(), 'attemper-page-'))
  const file = join(folder, 'page.html')
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: CHROMIUM,
      args: ['--no-sandbox', '--disable-dev-shm-usage'],
    })
    writeFileSync(file, rehearsalPage(madeUpPage(), await builtPage()))
  })
  afterAll(async () => {
    await browser?.close()
    rmSync(folder, { recursive: true })
  })

  async function open(width: number, colorScheme: 'light' | 'dark', javaScriptEnabled = true) {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme, javaScriptEnabled })
    const faults: string[] = []
    page.on('pageerror', error => faults.push(error.message))
    page.on('console', message => {
      if (message.type() === 'error' || message.type() === 'warning') faults.push(message.text())
    })
    page.on('request', request => {
      if (/^(https?|wss?):/.test(request.url())) faults.push(request.url())
    })
    await page.goto(pathToFileURL(file).href)
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
      const charts = page.locator('.chart .u-wrap > canvas')
      expect(await charts.count()).toBe(4)
      expect(faults).toEqual([])
      for (const box of await charts.all()) {
        expect((await box.boundingBox())!.width).toBeGreaterThan(width * 0.6)
      }
      for (const figures of await page.getByText('The figures of this chart').all()) await figures.click()
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width)
      await page.close()
    },
  )

  test('says the values under the cursor, by pointer and by keyboard, in all charts of time at once', async () => {
    const { page } = await open(1280, 'light')
    const chart = (name: string) => page.getByRole('img', { name })
    const readout = (name: string) => chart(name).locator('xpath=following-sibling::p[1]').textContent()
    const box = (await chart('Temperature of the beer over time').boundingBox())!
    await page.mouse.move(box.x + box.width * 0.95, box.y + 100)
    // The made-up ale is chilled to 2 °C in the end.
    await expect
      .poll(() => readout('Temperature of the beer over time'), PATIENTLY)
      .toMatch(/^After 1\d d(?: \d+ h)?: median 2\.0 °C/)
    expect(await readout('Specific gravity over time')).toMatch(/^After 1\d d(?: \d+ h)?: median 1\.012;/)
    await chart('against its gravity').focus()
    await page.keyboard.press('ArrowRight')
    // The path begins at the original gravity, on the left.
    await expect.poll(() => readout('against its gravity'), PATIENTLY).toMatch(/^At 1\.050: median 18\.0 °C/)
    await page.close()
  })

  test('is read without JavaScript too', async () => {
    const { page } = await open(360, 'light', false)
    await page.getByRole('heading', { level: 1, name: /^Probably ready to package after 15 days/ }).waitFor()
    expect(await page.locator('noscript p').isVisible()).toBe(true)
    expect(await page.getByRole('cell', { name: /Heater relay welded on: failed/ }).isVisible()).toBe(true)
    await page.getByText('The figures of this chart').first().click()
    expect(await page.getByRole('cell', { name: '18.0' }).first().isVisible()).toBe(true)
    await page.close()
  })

  test('is printed on white, with charts as wide as the paper', async () => {
    const { page } = await open(1280, 'dark')
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
    expect(await page.evaluate('getComputedStyle(document.documentElement).backgroundColor')).toBe(
      'rgb(255, 255, 255)',
    )
    const chart = page.locator('.chart .u-wrap > canvas').first()
    await expect.poll(async () => (await chart.boundingBox())!.width, PATIENTLY).toBeLessThan(690)
    await page.emulateMedia({ media: 'screen', colorScheme: 'dark' })
    await expect.poll(async () => (await chart.boundingBox())!.width, PATIENTLY).toBeGreaterThan(800)
    await page.close()
  })
})
