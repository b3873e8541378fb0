import { readFileSync } from 'node:fs'
import type { Browser, CDPSession } from 'playwright-core'
import type { Figure } from '../figure.ts'
import { inColdPage } from './bench-browser.ts'

/** The forecast from now is worked out meanwhile, as it is when a brewer opens the screen and begins to look round. */
const SETTLES_ms = 8000

/** Runs in the page. */
const LOOK_ROUND = readFileSync(new URL('./look-round.js', import.meta.url), 'utf8')

interface Frames {
  readonly intervals_ms: readonly number[]
  /** Processor time of the page's main thread for each frame: other work on the machine moves it less. */
  readonly thread_ms: number
}

/**
 * Frame time while the picture of a batch with a year of readings is zoomed from the year to a day, dragged to and fro, and
 * zoomed back, with one event for each frame. Fine readings are fetched and drawn meanwhile as they are for a brewer.
 */
export function yearDragged(browser: Browser, address: string): Promise<readonly Figure[]> {
  return inColdPage(browser, async page => {
    let fetched = 0
    page.on('response', response => {
      if (response.url().includes('/history')) fetched += 1
    })
    await page.goto(address)
    await page.locator('[aria-label*="measured between"] canvas').first().waitFor({ state: 'attached' })
    await page.waitForTimeout(SETTLES_ms)
    const before = fetched
    await page.evaluate(LOOK_ROUND)
    const session = await page.context().newCDPSession(page)
    await session.send('Performance.enable', { timeDomain: 'threadTicks' })
    const during = async (act: string): Promise<Frames> => {
      const before_s = await threadTime_s(session)
      const intervals_ms = (await page.evaluate(`lookRound.${act}()`)) as number[]
      const thread_ms = (1000 * ((await threadTime_s(session)) - before_s)) / intervals_ms.length
      return { intervals_ms, thread_ms }
    }
    const zooming = await during('closer')
    const dragging = await during('toAndFro')
    await during('further')
    if (fetched === before) throw new Error('the picture was moved, but no finer readings were asked for')
    return [
      figure('a year on the Batch chart: frame time while zooming', zooming),
      figure('a year on the Batch chart: frame time while dragging', dragging),
    ]
  })
}

async function threadTime_s(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics')
  return metrics.find(({ name }) => name === 'TaskDuration')!.value
}

function figure(name: string, { intervals_ms, thread_ms }: Frames): Figure {
  const sorted = intervals_ms.toSorted((a, b) => a - b)
  const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))]!
  return {
    name,
    value: at(0.95),
    unit: 'ms',
    goal: { first: 34, aim: 17, better: 'less' },
    note:
      `95 % of ${sorted.length} frames within that; half within ${at(0.5).toFixed(1)} ms, the longest ` +
      `${at(1).toFixed(0)} ms; ${thread_ms.toFixed(1)} ms of processor time of the page each; the browser draws at most every 16.7 ms, without a graphics processor`,
  }
}
