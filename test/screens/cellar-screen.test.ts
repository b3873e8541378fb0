/** The cellar in a browser: three simulated vessels behind a real cellar, seen wide and on a telephone. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarProcess } from '../live/cellar-process.ts'
import {
  accessFaults,
  hasBrowser,
  layoutShift,
  openBrowser,
  overflow,
  PHONE,
  visit,
  WIDE,
} from './browser.ts'

const SPEED = 600

/** Cut off, a screen says since when it knows nothing, and claims nothing more: neither in words nor by its looks. */
async function expectNothingClaimed(page: Page): Promise<void> {
  await page.getByRole('heading', { level: 1, name: /^Unknown since \d\d:\d\d\b/ }).waitFor()
  expect(await page.title()).toMatch(/^Unknown since \d\d:\d\d\b/)
  expect(await page.locator('#screens').textContent()).not.toMatch(/all is well|go on without/i)
  const dimmed = page.locator('main canvas, main svg[role="img"]').first()
  expect(await dimmed.evaluate(each => Number(getComputedStyle(each).opacity))).toBeLessThan(0.6)
  for (const button of await page.getByRole('button', { name: /Not yet|End the stage|Hold/ }).all()) {
    expect(await button.isDisabled()).toBe(true)
  }
  expect(await accessFaults(page)).toEqual([])
}

describe.skipIf(!hasBrowser)('the cellar in a browser', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-screens-'))
  let cellar = new CellarProcess()
  let browser: Browser
  let url = ''
  let mqttPort = 0

  beforeAll(async () => {
    browser = await openBrowser()
    const started = await cellar.start({
      dataDir,
      host: '127.0.0.1',
      port: 0,
      mqttPort: 0,
      speed: SPEED,
      demo: true,
    })
    url = started.url
    mqttPort = Number(new URL(started.mqttUrl).port)
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  test.each([
    ['wide and light', WIDE],
    ['wide and dark', { ...WIDE, scheme: 'dark' }],
    ['narrow and light', { ...PHONE, scheme: 'light' }],
    ['narrow and dark', PHONE],
  ] as const)('says how all batches stand, %s', async (_, look) => {
    const { page, faults } = await visit(browser, url, look)
    await page.getByRole('heading', { level: 1, name: '3 batches run in 3 vessels' }).waitFor()
    const lines = page.getByRole('list').first().getByRole('listitem')
    expect(await lines.count()).toBe(3)
    await page.getByText(/in Primary .*°C \(target 20\.0\s°C\), gravity 1\.0\d\d; all is well\./).waitFor()
    await page
      .getByRole('img', { name: /Temperature of the beer in the last days: between/ })
      .first()
      .waitFor()
    expect(await overflow(page)).toBe(0)
    expect(await layoutShift(page)).toBeLessThan(0.02)
    expect(await accessFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('goes to a batch and back by the keyboard alone', async () => {
    const { page } = await visit(browser, url, WIDE)
    const link = page.getByRole('link', { name: 'Corner tank' })
    await link.waitFor()
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('To the screen itself')
    for (let step = 0; step < 20 && !(await link.evaluate(each => each === document.activeElement)); step++) {
      await page.keyboard.press('Tab')
    }
    await page.keyboard.press('Enter')
    await page.waitForURL(/#\/batch\//)
    await page.goBack()
    await link.waitFor()
    await page.context().close()
  })

  test('notices within seconds that a cellar has fallen silent although its line is still open', async () => {
    const { page } = await visit(browser, url, WIDE)
    await page.getByText('all is well').first().waitFor()
    cellar.freeze()
    try {
      await page.getByText('Cut off from the cellar since').waitFor({ timeout: 14_000 })
      await expectNothingClaimed(page)
    } finally {
      cellar.thaw()
    }
    await page.getByText('Cut off from the cellar since').waitFor({ state: 'hidden', timeout: 30_000 })
    await page.getByText('all is well').first().waitFor()
    await page.context().close()
  })

  test('says when the cellar is lost, opens without it, and finds it again', async () => {
    const { page } = await visit(browser, url, PHONE)
    await page.getByText('all is well').first().waitFor()
    // The files are kept by the service worker as soon as it is ready.
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined))
    await cellar.kill()
    await page.getByText(/Cut off from the cellar since \d\d:\d\d\b/).waitFor({ timeout: 10_000 })
    await expectNothingClaimed(page)
    await page.reload()
    await page.getByText(/Cut off from the cellar since \d\d:\d\d\b/).waitFor({ timeout: 10_000 })
    await page.getByRole('heading', { name: 'Corner tank' }).waitFor()
    await expectNothingClaimed(page)
    await page.getByRole('link', { name: 'Corner tank' }).click()
    await page.getByRole('heading', { level: 1, name: /^Unknown since .* Then it was so: / }).waitFor()
    await expectNothingClaimed(page)
    await page.goBack()
    cellar = new CellarProcess()
    await cellar.start({
      dataDir,
      host: '127.0.0.1',
      port: Number(new URL(url).port),
      mqttPort,
      speed: SPEED,
    })
    await page.getByText('Cut off from the cellar since').waitFor({ state: 'hidden', timeout: 60_000 })
    await page.getByRole('heading', { level: 1, name: '3 batches run in 3 vessels' }).waitFor()
    await page.context().close()
  })
})
