/** The screen of a batch in a browser: a simulated vessel behind a real cellar, seen wide and on a telephone. */
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
  tooSmall,
  visit,
  WIDE,
} from './browser.ts'

/** A forecast is rehearsed by workers that have just been started, perhaps on a busy machine. */
const FORECAST = { timeout: 120_000 }
const LONG = { timeout: 240_000 }

/** Where the ticks of time stand below each picture of the batch, CSS pixels; drawn on a canvas, so they are looked for there. */
function ticksOf(page: Page): Promise<number[][]> {
  return page.locator('section[aria-label="Past and forecast"] .uplot').evaluateAll(plots =>
    plots.map(plot => {
      const canvas = plot.querySelector('canvas')!
      const over = plot.querySelector<HTMLElement>('.u-over')!
      const row = over.offsetTop + over.clientHeight + 3
      const { data, width } = canvas
        .getContext('2d')!
        .getImageData(0, row * devicePixelRatio, canvas.width, 1)
      const inked = Array.from(
        { length: width },
        (_, x) => data[4 * x + 3]! > 60 && x >= over.offsetLeft * devicePixelRatio,
      )
      return inked.flatMap((is, x) => (is && !inked[x - 1] ? [Math.round(x / devicePixelRatio)] : []))
    }),
  )
}

describe.skipIf(!hasBrowser)('the screen of a batch in a browser', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-batch-screen-'))
  const cellar = new CellarProcess()
  let browser: Browser
  let address = ''

  beforeAll(async () => {
    browser = await openBrowser()
    const { url } = await cellar.start({
      dataDir,
      host: '127.0.0.1',
      port: 0,
      mqttPort: 0,
      speed: 60,
      demo: true,
    })
    const batches = (await (await fetch(`${url}/batches`)).json()) as { id: string; vessel: string }[]
    address = `${url}/#/batch/${batches.find(({ vessel }) => vessel === 'Corner tank')!.id}`
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  const forecastOf = (page: Page) =>
    page.getByText(/The plan is probably complete .*; nine chances in ten: from/).waitFor(FORECAST)

  test.each([
    ['wide and light', WIDE],
    ['narrow and dark', PHONE],
  ] as const)('tells how it stands and how it may go on, %s', LONG, async (_, look) => {
    const { page, faults } = await visit(browser, address, look)
    await page.getByRole('heading', { level: 1, name: /in Primary .*°C/ }).waitFor()
    await forecastOf(page)
    await page.getByText(/Rest begins .*between .* and/).waitFor()
    await page.getByRole('img', { name: /Temperature of the beer over time: measured between/ }).waitFor()
    await page.getByRole('img', { name: /which falls from left to right: the batch has come from/ }).waitFor()
    await page.getByText('The batch begins, by the plan').waitFor()
    const [temperature, ...others] = await ticksOf(page)
    expect(temperature!.length).toBeGreaterThan(1)
    expect(others).toHaveLength(2)
    for (const ticks of others) expect(ticks).toEqual(temperature)
    // Before the figures are asked for, whose table takes its room.
    expect(await layoutShift(page)).toBeLessThan(0.1)
    await page.getByText('The figures of this chart').first().click()
    const rows = page.getByRole('table', { name: /^Temperature of the beer/ }).getByRole('row')
    await expect.poll(() => rows.count(), { timeout: 20_000 }).toBeGreaterThan(10)
    expect(await rows.nth(1).textContent()).toMatch(/\d\d\.\d/)
    expect(await overflow(page)).toBe(0)
    if (look.width < 500) expect(await tooSmall(page)).toEqual([])
    expect(await accessFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('a picture is zoomed by keyboard; what a brewer does is seen at once', LONG, async () => {
    const { page } = await visit(browser, address, WIDE)
    const all = page.getByRole('button', { name: 'All of it' })
    await all.waitFor()
    expect(await all.getAttribute('aria-pressed')).toBe('true')
    await page.getByRole('img', { name: /Temperature of the beer over time/ }).focus()
    await page.keyboard.press('+')
    expect(await all.getAttribute('aria-pressed')).toBe('false')
    await page.keyboard.press('Shift+ArrowLeft')
    await page.getByRole('button', { name: 'Day', exact: true }).click()
    expect(await page.getByRole('button', { name: 'Day', exact: true }).getAttribute('aria-pressed')).toBe(
      'true',
    )

    const box = page.getByRole('region', { name: 'A gravity read by hand' })
    await all.focus()
    await page.keyboard.press('g')
    await page.keyboard.type('48')
    await box.getByText('1.048. Enter takes it down.').waitFor()
    await page.keyboard.press('Enter')
    await box.getByText('Taken: 1.048, read off the hydrometer.').waitFor()
    await page.getByText('The brewer read a gravity of 1.048 off the Hydrometer.').waitFor()

    await page.getByRole('button', { name: 'Hold it in Primary' }).click()
    await page.getByRole('heading', { level: 1, name: /held in Primary/ }).waitFor()
    await page.getByRole('button', { name: 'Let it go on' }).click()
    await page.getByRole('button', { name: 'Hold it in Primary' }).waitFor()

    await page.getByLabel('A note for the log').fill('Smells of pears')
    await page.keyboard.press('Enter')
    await page.getByText('Note: Smells of pears').waitFor()
    await page.getByRole('button', { name: 'Instruments' }).click()
    await page.getByText('Note: Smells of pears').waitFor({ state: 'hidden' })

    await page.getByRole('button', { name: 'Go to Rest' }).click()
    await page.getByRole('dialog', { name: 'Leave Primary for Rest?' }).waitFor()
    await page.getByRole('button', { name: 'Leave it as it is' }).click()
    await page.getByRole('heading', { level: 1, name: /in Primary/ }).waitFor()
    await page.context().close()
  })

  test('a changed plan is rehearsed from now, and then followed', LONG, async () => {
    const { page } = await visit(browser, address, WIDE)
    await page.getByRole('button', { name: /Change the rest of the plan/ }).click()
    const follow = page.getByRole('button', { name: 'Follow this plan from now on' })
    expect(await follow.isDisabled()).toBe(true)
    await page.locator('.cm-line', { hasText: 'hold: 20 °C' }).click()
    await page.keyboard.press('Home')
    await page.keyboard.press('Shift+End')
    await page.keyboard.type('hold: 19.5 °C')
    await page.getByText('By the changed plan:').last().waitFor(FORECAST)
    await follow.click()
    await follow.waitFor({ state: 'hidden' })
    await page.getByText('The rest of the plan was changed.').waitFor()
    await page.getByRole('heading', { level: 1, name: /target 19\.5\s°C/ }).waitFor()
    await page.context().close()
  })
})
