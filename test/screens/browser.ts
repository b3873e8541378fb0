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

/** By how many pixels the page is wider than the window. */
export function overflow(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
}
