import type { Browser } from 'playwright-core'
import type { Figure } from '../figure.ts'
import { median } from '../timing.ts'
import { inColdPage } from './bench-browser.ts'

const KEYSTROKES = 8
/** The workers have rehearsed so often before the keystrokes count. */
const WARM_UP = 2
const RUNS = 200

/** The line whose last digit is changed: neither 17 nor 18 °C has a fault. */
const HELD = /hold: 1\d °C/

/** As the screen itself measures them (rehearsing/case.svelte.ts). */
const FIRST = 'first picture after a change'
const ALL = 'all runs after a change'

/**
 * From a keystroke in the text of a plan to what has been drawn of it: the first picture of the new fan, and the one of all
 * runs. The keys change a temperature to and fro.
 */
export function keystrokes(browser: Browser, address: string): Promise<readonly Figure[]> {
  return inColdPage(browser, async page => {
    const faults: string[] = []
    page.on('pageerror', error => faults.push(error.message))
    await page.goto(address)
    const text = page.locator('.cm-content').first()
    const measured = (name: string) =>
      page.evaluate(wanted => performance.getEntriesByName(wanted).map(({ duration }) => duration), name)
    const waitFor = (name: string, count: number) =>
      page.waitForFunction(([wanted, least]) => performance.getEntriesByName(wanted).length >= least, [
        name,
        count,
      ] as const)
    await page.getByRole('button', { name: 'Text', exact: true }).click()
    await text.waitFor()
    await waitFor(ALL, 1)
    const place = page.locator('.cm-line', { hasText: HELD }).first()
    const line = (await place.textContent()) ?? ''
    await place.click()
    await page.keyboard.press('Home')
    for (let n = 0; n < line.trimStart().search(/\d °C/); n++) await page.keyboard.press('ArrowRight')
    const first: number[] = []
    const all: number[] = []
    for (let n = 0; n < WARM_UP + KEYSTROKES; n++) {
      await page.keyboard.press('Shift+ArrowRight')
      await page.evaluate(() => performance.clearMeasures())
      await page.keyboard.press(n % 2 === 0 ? '7' : '8')
      await waitFor(ALL, 1)
      await page.keyboard.press('ArrowLeft')
      if (n < WARM_UP) continue
      first.push(...(await measured(FIRST)))
      all.push(...(await measured(ALL)))
    }
    if (faults.length > 0) throw new Error(`the screen failed: ${faults[0]}`)
    if (first.length !== KEYSTROKES || all.length !== KEYSTROKES) {
      throw new Error(`${KEYSTROKES} keystrokes were rehearsed ${all.length} times`)
    }
    return [
      figure('from a keystroke to the first picture of the new fan', first, { first: 150, aim: 100 }),
      figure(`from a keystroke to the picture of ${RUNS} runs`, all, { first: 2000, aim: 1000 }),
    ]
  })
}

function figure(name: string, times_ms: readonly number[], goal: { first: number; aim: number }): Figure {
  return {
    name,
    value: median(times_ms),
    unit: 'ms',
    goal: { ...goal, better: 'less' },
    note: `median of ${times_ms.length}, between ${Math.min(...times_ms).toFixed(0)} and ${Math.max(...times_ms).toFixed(0)} ms; the browser's own clock`,
  }
}
