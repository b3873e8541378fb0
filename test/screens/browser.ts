/**
 * A real browser (Debian's chromium) for tests of the screens. Every page keeps what went wrong in it, and how much moved
 * when data arrived.
 */
import { existsSync } from 'node:fs'
import axe from 'axe-core'
import { type Browser, chromium, type Page } from 'playwright-core'

const CHROMIUM = '/usr/bin/chromium'

export const hasBrowser = existsSync(CHROMIUM)

export function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox', '--disable-dev-shm-usage'] })
}

export interface Look {
  readonly width: number
  readonly scheme: 'light' | 'dark'
}

export const WIDE: Look = { width: 1280, scheme: 'light' }
export const PHONE: Look = { width: 360, scheme: 'dark' }

export interface Visit {
  readonly page: Page
  /** Uncaught errors, and what the page itself complained of. */
  readonly faults: string[]
}

/** Opens an address in a browser that has never been here. */
export async function visit(browser: Browser, address: string, { width, scheme }: Look): Promise<Visit> {
  const context = await browser.newContext({
    viewport: { width, height: 800 },
    colorScheme: scheme,
    reducedMotion: 'reduce',
    // A telephone is pressed with a finger: the screens ask for it (pointer: coarse).
    hasTouch: width < 500,
  })
  const page = await context.newPage()
  const faults: string[] = []
  page.on('pageerror', error => faults.push(error.message))
  page.on('console', message => {
    if (message.type() === 'error' && !/Failed to load resource|ERR_CONNECTION/.test(message.text())) {
      faults.push(message.text())
    }
  })
  await page.addInitScript(() => {
    const shifts: number[] = []
    Object.assign(globalThis, { shifts })
    new PerformanceObserver(list => {
      for (const entry of list.getEntries() as (PerformanceEntry & {
        value: number
        hadRecentInput: boolean
      })[]) {
        if (!entry.hadRecentInput) shifts.push(entry.value)
      }
    }).observe({ type: 'layout-shift', buffered: true } as PerformanceObserverInit)
  })
  await page.goto(address)
  return { page, faults }
}

/**
 * What axe-core finds, one line each; on the whole page, or only within what a selector names. It runs in the page itself,
 * which has no frames: collecting from a page of its own takes ten times as long.
 */
export async function accessFaults(page: Page, within?: string): Promise<readonly string[]> {
  await page.evaluate(axe.source)
  const { violations } = await page.evaluate(
    async selector => await (globalThis as unknown as { axe: typeof axe }).axe.run(selector ?? document),
    within,
  )
  return violations.flatMap(({ id, help, nodes }) =>
    nodes.map(node => `${id}: ${help}: ${node.target.join(' ')}`),
  )
}

/** Cumulative layout shift so far (Web Vitals; at most 0.1 counts as good). */
export function layoutShift(page: Page): Promise<number> {
  return page.evaluate(() =>
    (globalThis as unknown as { shifts: number[] }).shifts.reduce((sum, value) => sum + value, 0),
  )
}

/** What can be pressed and is lower than 44 px (WCAG 2.2, 2.5.5), one line each; links within a text are not counted. */
export function tooSmall(page: Page): Promise<readonly string[]> {
  return page
    .locator(
      'button:visible, select:visible, input:not([type=checkbox]):not([type=radio]):visible, a.button:visible',
    )
    .evaluateAll(all =>
      all
        .map(each => ({ each, height: each.getBoundingClientRect().height }))
        .filter(({ height }) => height < 44)
        .map(
          ({ each, height }) =>
            `${each.tagName} “${(each.textContent ?? '').trim().slice(0, 40)}”: ${height} px`,
        ),
    )
}

/** Room below what the page holds, px: what is only spoken must not make it longer. */
export function emptyRoomBelow(page: Page): Promise<number> {
  return page.evaluate(() => {
    const ends = document.querySelector('main')!.getBoundingClientRect().bottom + scrollY
    return document.documentElement.scrollHeight - Math.max(ends, innerHeight)
  })
}

/** By how many pixels the page is wider than the window. */
export function overflow(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
}
