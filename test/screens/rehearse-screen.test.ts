/** A plan rehearsed in a browser, in its workers: the pictures come, the newest text wins, and it leads on to a batch. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarProcess } from '../live/cellar-process.ts'
import {
  accessFaults,
  hasBrowser,
  type Look,
  layoutShift,
  openBrowser,
  overflow,
  PHONE,
  visit,
  WIDE,
} from './browser.ts'

/** Two cores that are shared with all other tests take their time for 200 runs. */
const PATIENCE_ms = 150_000

describe.skipIf(!hasBrowser)('a rehearsal in a browser', { timeout: 2 * PATIENCE_ms }, () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-rehearse-screen-'))
  const cellar = new CellarProcess()
  let browser: Browser
  let url = ''

  beforeAll(async () => {
    browser = await openBrowser()
    url = (await cellar.start({ dataDir, host: '127.0.0.1', port: 0, mqttPort: 0, speed: 1 })).url
    const vessel = readFileSync(new URL('../../examples/garage-fridge.vessel.yaml', import.meta.url), 'utf8')
    const answer = await fetch(`${url}/vessels`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-attemper': '1' },
      body: JSON.stringify({ text: vessel }),
    })
    expect(answer.status).toBe(201)
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  async function open(look: Look, example = 'amber-ale') {
    const seen = await visit(browser, `${url}/#/rehearse/example/${example}`, look)
    await firstPicture(seen.page)
    return seen
  }

  const firstPicture = (page: Page) =>
    page.getByRole('heading', { name: 'Over time' }).waitFor({ timeout: PATIENCE_ms })
  const allRuns = (page: Page) =>
    page.getByText(/200 runs, each with its own .* drills\./).waitFor({ timeout: PATIENCE_ms })
  const sentence = (page: Page) => page.getByRole('heading', { level: 1 }).textContent()

  async function slide(slider: Locator, value: number): Promise<void> {
    await slider.evaluate((element, to) => {
      ;(element as HTMLInputElement).value = String(to)
      element.dispatchEvent(new Event('input', { bubbles: true }))
    }, value)
  }

  /** How much is drawn over the first chart. */
  function inkOverChart(page: Page): Promise<number> {
    return page
      .locator('.u-over canvas')
      .first()
      .evaluate(element => {
        const canvas = element as HTMLCanvasElement
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height)
        return data.filter((value, index) => index % 4 === 3 && value > 0).length
      })
  }

  test('the picture comes and is refined, a risk lights up its runs, and one of them goes on step by step', {
    timeout: 2 * PATIENCE_ms,
  }, async () => {
    const { page, faults } = await open(WIDE)
    await allRuns(page)
    expect(await sentence(page)).toMatch(
      /^Probably ready to package after [78](?:\.\d)?\sdays .*; the biggest risk is/,
    )
    const measures = await page.evaluate(() =>
      performance.getEntriesByType('measure').map(({ name }) => name),
    )
    expect(measures).toEqual(['first picture after a change', 'all runs after a change'])
    expect(await layoutShift(page)).toBeLessThan(0.1)

    expect(await inkOverChart(page)).toBe(0)
    await page.getByRole('button', { name: /^\d+ % .*Diacetyl/ }).focus()
    await expect.poll(() => inkOverChart(page), { timeout: 20_000 }).toBeGreaterThan(1000)

    const opener = page.getByRole('button', { name: /^Play run/ }).first()
    await opener.click()
    const player = page.getByRole('region', { name: /^Run \d+: / })
    await player.getByText('Primary begins.').waitFor()
    await player.getByRole('button', { name: 'On to the next sentence' }).click()
    const said = await player.getByRole('listitem').count()
    for (let turn = 0; turn < 3; turn += 1) {
      await player.getByRole('button', { name: 'On to the next sentence' }).click()
    }
    expect(await player.getByRole('listitem').count()).toBeGreaterThan(said)
    await page.keyboard.press('Escape')
    await player.waitFor({ state: 'detached' })
    expect(await opener.evaluate(element => element === document.activeElement)).toBe(true)

    await page.getByRole('button', { name: /^Play: The heater's relay is welded on/ }).click()
    const drill = page.getByRole('region', { name: /^Drill: / })
    await drill.getByRole('slider').fill('100')
    await drill.getByText(/Here the fault is put in/).waitFor()
    expect(await accessFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('a slider writes into the text, the newest of several wins, and all can be put back', {
    timeout: 2 * PATIENCE_ms,
  }, async () => {
    const { page, faults } = await open(WIDE)
    const heater = page.getByRole('slider', { name: 'Heater', exact: true })
    for (const power of [60, 20, 5]) await slide(heater, power)
    await page.getByText('5 W, was 30 W').waitFor()
    await allRuns(page)
    expect(await sentence(page)).toContain('heating or cooling has no effect in Primary')
    await page.getByText('Before', { exact: true }).first().waitFor()
    await page.getByRole('tab', { name: 'Vessel' }).click()
    await page.getByText('power: 5 W ± 5 %').waitFor()
    expect(await page.evaluate(() => location.hash)).toMatch(/^#\/rehearse\/draft\/Amber/)
    const whole = await page.evaluate(() => performance.getEntriesByName('all runs after a change').length)
    expect(whole).toBeLessThanOrEqual(2)
    await page.getByRole('button', { name: 'Put it back' }).click()
    await page.getByText('power: 30 W ± 5 %').waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('what was changed is there again after the page was closed', async () => {
    const { page } = await open(WIDE, 'step-mash')
    await slide(page.getByRole('slider', { name: 'Room, on average' }), 10)
    await page.waitForFunction(() => location.hash.startsWith('#/rehearse/draft/'), null, {
      timeout: PATIENCE_ms,
    })
    const address = await page.evaluate(() => location.href)
    await page.goto('about:blank')
    await page.goto(address)
    await firstPicture(page)
    await page.getByText('10.0 °C').first().waitFor()
    await page.context().close()
  })

  test('while a text has errors the last picture stays, and the line is named', async () => {
    const { page } = await open(WIDE)
    await page.getByRole('button', { name: 'Text', exact: true }).click()
    await page.locator('.cm-line', { hasText: 'hold: 18 °C' }).first().click()
    await page.keyboard.press('End')
    await page.keyboard.type('x')
    await page.getByText(/^Not rehearsed, because of line 7 of the plan:/).waitFor()
    expect(await page.getByRole('img', { name: /^Temperature of the beer over time/ }).count()).toBe(1)
    await page.context().close()
  })

  test.each([
    ['light', { ...PHONE, scheme: 'light' }],
    ['dark', PHONE],
  ] as const)('on a telephone, %s', async (_, look) => {
    const { page, faults } = await open(look)
    expect(await overflow(page)).toBe(0)
    expect(await accessFaults(page)).toEqual([])
    await page.getByRole('button', { name: 'Choose what to rehearse' }).click()
    await page.getByRole('heading', { name: 'What do you want to rehearse?' }).waitFor()
    expect(await overflow(page)).toBe(0)
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('leads on to a batch, with what must be true first', async () => {
    const { page, faults } = await open(WIDE)
    await page.getByRole('button', { name: 'Start this batch' }).click()
    const dialog = page.getByRole('dialog')
    await dialog.getByText('The vessel is free').waitFor()
    await dialog.getByText('All instruments are heard').waitFor()
    expect(await accessFaults(page, 'dialog')).toEqual([])
    await dialog.getByRole('button', { name: /^Start now, with \d+ points open$/ }).click()
    await page.waitForFunction(() => location.hash.startsWith('#/batch/'), null, { timeout: PATIENCE_ms })
    expect(faults).toEqual([])
    await page.context().close()
  })
})
