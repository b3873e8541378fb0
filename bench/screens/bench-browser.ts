import { existsSync } from 'node:fs'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'

/** Debian's place, unless CHROMIUM names another. */
const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium'

/** On a busy machine two hundred runs take a while. */
const LONGEST_ms = 180_000

/** Runs with a real browser of its own. */
export async function inBrowser<T>(work: (browser: Browser) => Promise<T>): Promise<T> {
  if (!existsSync(CHROMIUM)) throw new Error(`there is no browser at ${CHROMIUM}; CHROMIUM may name one`)
  const browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--disable-dev-shm-usage'],
  })
  try {
    return await work(browser)
  } finally {
    await browser.close()
  }
}

/**
 * Runs with a page that has never been anywhere: nothing is in its memory, and no service worker fetches for later what
 * the page itself has not asked for.
 */
export async function inColdPage<T>(browser: Browser, work: (page: Page) => Promise<T>): Promise<T> {
  const context: BrowserContext = await browser.newContext({
    viewport: { width: 1280, height: 800 },
    serviceWorkers: 'block',
  })
  try {
    const page = await context.newPage()
    page.setDefaultTimeout(LONGEST_ms)
    return await work(page)
  } finally {
    await context.close()
  }
}
