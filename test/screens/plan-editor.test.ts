/** A plan written in a browser, as text and as stages: what is done to the one is seen in the other. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarProcess } from '../live/cellar-process.ts'
import { accessFaults, hasBrowser, type Look, openBrowser, overflow, PHONE, visit } from './browser.ts'

/** Wide enough for stages and text side by side, and yet without the outcome beside them. */
const BESIDE: Look = { width: 980, scheme: 'light' }

describe.skipIf(!hasBrowser)('a plan in a browser', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-plan-editor-'))
  const cellar = new CellarProcess()
  let browser: Browser
  let url = ''

  beforeAll(async () => {
    browser = await openBrowser()
    url = (await cellar.start({ dataDir, host: '127.0.0.1', port: 0, mqttPort: 0, speed: 1 })).url
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  async function openPlan(example: string, look: Look) {
    const seen = await visit(browser, `${url}/#/settings`, look)
    // What the plan would do is none of this test's business, and would take all the time there is.
    await seen.page.route(/worker/, route => route.abort())
    // High enough for all lines: those out of sight are not in the page.
    await seen.page.setViewportSize({ width: look.width, height: 2000 })
    await seen.page.addStyleTag({ content: ':root { --editor-height: 80rem }' })
    await seen.page.evaluate(to => location.assign(to), `#/rehearse/example/${example}`)
    await seen.page.getByRole('button', { name: 'The plan itself' }).click()
    await seen.page.locator('.cm-content').first().waitFor({ state: 'attached' })
    return seen
  }

  function lines(page: Page): Promise<readonly string[]> {
    return page.locator('.cm-line').allInnerTexts()
  }

  function stageNames(page: Page): Promise<readonly string[]> {
    return page.getByRole('list', { name: 'Stages of the plan' }).getByRole('heading').allInnerTexts()
  }

  async function cursorBehind(page: Page, words: string): Promise<void> {
    await page.locator('.cm-line', { hasText: words }).first().click()
    await page.keyboard.press('End')
  }

  test('an error stands at its line, and goes when it is mended', async () => {
    const { page, faults } = await openPlan('amber-ale', BESIDE)
    await cursorBehind(page, 'hold: 18 °C')
    await page.keyboard.type('x')
    await page.locator('.cm-finding-gutter .cm-finding-error').first().waitFor({ state: 'attached' })
    await page.getByText('“°Cx” is not a unit of temperature.').first().waitFor()
    expect(await page.getByRole('button', { name: 'line 7' }).count()).toBeGreaterThan(0)
    await page.keyboard.press('Backspace')
    await page.getByText('Nothing found that is wrong.').waitFor()
    expect(await page.locator('.cm-finding-error').count()).toBe(0)
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('what may stand somewhere is offered and put there', async () => {
    const { page } = await openPlan('amber-ale', BESIDE)
    await cursorBehind(page, 'hold: 18 °C')
    await page.keyboard.press('Enter')
    await page.keyboard.type('ta')
    await page.getByRole('option', { name: 'tasks' }).waitFor()
    await page.waitForTimeout(150)
    await page.keyboard.press('Enter')
    await page.keyboard.type('Stir')
    await page.keyboard.press('Escape')
    expect((await lines(page)).slice(6, 9).map(line => line.trim())).toEqual([
      'hold: 18 °C',
      'tasks:',
      '- Stir',
    ])
    await page.getByText('tell the brewer: “Stir”').waitFor()
    await page.context().close()
  })

  test('a stage that is moved takes its lines along, and comes back by Undo', async () => {
    const { page } = await openPlan('lager', BESIDE)
    const before = await lines(page)
    await page.getByRole('button', { name: 'Down: Primary' }).focus()
    await page.keyboard.press('Enter')
    await page.getByText('Primary is stage 2 of 5 now.').waitFor()
    expect((await stageNames(page)).slice(0, 2)).toEqual(['Wake up', 'Primary'])
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe(
      'Down: Primary',
    )
    const after = await lines(page)
    expect(after.toSorted()).toEqual(before.toSorted())
    const comment = after.findIndex(line => line.includes('# A lager that goes to sleep'))
    expect(comment).toBeGreaterThan(after.findIndex(line => line.includes('stage: Primary')))
    await page.getByRole('button', { name: 'Undo' }).click()
    await expect.poll(() => lines(page)).toEqual(before)
    expect((await stageNames(page))[0]).toBe('Primary')
    await page.getByRole('button', { name: 'Edit: Primary' }).focus()
    await page.keyboard.press('Alt+ArrowDown')
    await expect.poll(async () => (await stageNames(page))[1]).toBe('Primary')
    await page.context().close()
  })

  test('a stage is dragged by its number', async () => {
    const { page } = await openPlan('amber-ale', BESIDE)
    const [first, , third] = await page.locator('.number').all()
    const to = (await first!.boundingBox())!
    const from = (await third!.boundingBox())!
    await page.mouse.move(from.x + 5, from.y + 8)
    await page.mouse.down()
    await page.mouse.move(to.x + 5, to.y - 10, { steps: 5 })
    await page.mouse.up()
    await expect.poll(() => stageNames(page)).toEqual(['Crash', 'Primary', 'Warm finish'])
    await page.context().close()
  })

  test('a stage is changed in its fields, without the text', async () => {
    const { page } = await openPlan('amber-ale', BESIDE)
    await page.getByRole('button', { name: 'Edit: Primary' }).click()
    await page.getByLabel('at', { exact: true }).fill('19')
    await page.keyboard.press('Enter')
    await page.getByLabel('At most').fill('nonsense')
    await page.keyboard.press('Tab')
    await page.getByRole('alert').getByText('“nonsense” is not a time.').waitFor()
    await page.getByLabel('Then, if late').selectOption('Crash')
    const text = (await lines(page)).join('\n')
    expect(text).toContain('hold: 19 °C')
    expect(text).toContain('if late: { go to: Crash }')
    expect(text).toContain('at most: 10 d')
    await page.context().close()
  })

  test('while the text can not be read, the stages stay as they were', async () => {
    const { page } = await openPlan('amber-ale', BESIDE)
    await cursorBehind(page, 'limits:')
    await page.keyboard.press('Backspace')
    await page.getByText('The text can not be read as it stands').waitFor()
    expect(await stageNames(page)).toEqual(['Primary', 'Warm finish', 'Crash'])
    expect(await page.getByRole('button', { name: 'Down: Primary' }).isDisabled()).toBe(true)
    await page.keyboard.type('}')
    await expect.poll(() => page.getByRole('button', { name: 'Down: Primary' }).isDisabled()).toBe(false)
    await page.context().close()
  })

  test('Escape and then Tab leaves the text; the arrows go from plan to vessel', async () => {
    const { page } = await openPlan('amber-ale', BESIDE)
    await cursorBehind(page, 'hold: 18 °C')
    await page.keyboard.type('x')
    await page.getByRole('button', { name: 'line 7' }).last().waitFor()
    const inText = () => page.evaluate(() => document.activeElement?.classList.contains('cm-content'))
    await page.keyboard.press('Escape')
    await page.keyboard.press('Escape')
    await page.keyboard.press('Tab')
    expect(await inText()).toBe(false)
    await page.getByRole('tab', { name: /^Plan/ }).focus()
    await page.keyboard.press('ArrowRight')
    await page.getByRole('textbox', { name: /^The vessel as text/ }).waitFor()
    await page.context().close()
  })

  test.each([
    ['light', { ...PHONE, scheme: 'light' }],
    ['dark', PHONE],
  ] as const)(
    'on a telephone, %s',
    async (_, look) => {
      const { page, faults } = await openPlan('amber-ale', look)
      await page.getByRole('button', { name: 'Edit: Primary' }).click()
      expect(await overflow(page)).toBe(0)
      expect(await accessFaults(page, '[role="tabpanel"]:not([hidden])')).toEqual([])
      await page.getByRole('button', { name: 'Text', exact: true }).click()
      await page.locator('.cm-content').first().waitFor()
      expect(await overflow(page)).toBe(0)
      expect(await accessFaults(page, '[role="tabpanel"]:not([hidden])')).toEqual([])
      expect(faults).toEqual([])
      await page.context().close()
    },
    180_000,
  )
})
