import type { Browser, Request } from 'playwright-core'
import type { Figure } from '../figure.ts'
import { median } from '../timing.ts'
import { inColdPage } from './bench-browser.ts'

const VISITS = 5
const KB = 1000

/** A screen, and what is in it when its first picture has been drawn. */
export interface PicturedScreen {
  readonly name: string
  readonly address: string
  /** CSS. */
  readonly picture: string
}

interface FirstPicture {
  /** From the moment at which the browser began to go there, ms. */
  readonly after_ms: number
  /** Of files and of data, as they went over the line, bytes. */
  readonly files: number
  readonly data: number
  readonly requests: number
}

/**
 * What a browser that has never been here fetches until a screen's first picture has been drawn, and how long that takes
 * over loopback. Everything that has arrived by then counts, whether the picture needed it or not.
 */
export async function firstPicture(
  browser: Browser,
  { name, address, picture }: PicturedScreen,
): Promise<readonly Figure[]> {
  const visits: FirstPicture[] = []
  for (let n = 0; n < VISITS; n++) visits.push(await visit(browser, address, picture))
  const bytes = Math.max(...visits.map(({ files, data }) => files + data))
  const most = visits.find(({ files, data }) => files + data === bytes)!
  const times_ms = visits.map(({ after_ms }) => after_ms)
  return [
    {
      name: `${name}: bytes to the first picture`,
      value: bytes / KB,
      unit: 'kB',
      goal: { first: 250, aim: 150, better: 'less' },
      note:
        `most of ${VISITS} visits: ${(most.files / KB).toFixed(1)} kB of files, compressed as they are served, and ` +
        `${(most.data / KB).toFixed(1)} kB of data; ${most.requests} answers`,
    },
    {
      name: `${name}: first picture in a cold browser`,
      value: median(times_ms),
      unit: 'ms',
      note: `median of ${VISITS} visits over loopback, between ${Math.min(...times_ms).toFixed(0)} and ${Math.max(...times_ms).toFixed(0)} ms`,
    },
  ]
}

const MARK = 'first picture'

/** For the page: notes the frame after the one in which the picture was there, so that it has been drawn. */
function markWhenDrawn(picture: string): string {
  return `
    const look = () => {
      if (document.querySelector(${JSON.stringify(picture)}) === null) requestAnimationFrame(look)
      else requestAnimationFrame(() => performance.mark('${MARK}'))
    }
    requestAnimationFrame(look)`
}

function visit(browser: Browser, address: string, picture: string): Promise<FirstPicture> {
  return inColdPage(browser, async page => {
    const answered: Request[] = []
    page.on('requestfinished', request => answered.push(request))
    await page.addInitScript({ content: markWhenDrawn(picture) })
    await page.goto(address, { waitUntil: 'commit' })
    const mark = await page.waitForFunction(name => {
      const [entry] = performance.getEntriesByName(name)
      return entry === undefined ? null : { after_ms: entry.startTime, began_ms: performance.timeOrigin }
    }, MARK)
    const { after_ms, began_ms } = (await mark.jsonValue())!
    const arrived = answered.filter(request => endOf_ms(request) <= began_ms + after_ms)
    const counted = new Map(arrived.map(request => [request.url(), request]))
    let [files, data] = [0, 0]
    for (const [url, request] of counted) {
      const bytes = await bytesOf(request)
      if (new URL(url).pathname.startsWith('/assets/') || request.isNavigationRequest()) files += bytes
      else data += bytes
    }
    return { after_ms, files, data, requests: counted.size }
  })
}

/** Since 1970-01-01T00:00 UTC. */
function endOf_ms(request: Request): number {
  const { startTime, responseEnd } = request.timing()
  return startTime + Math.max(0, responseEnd)
}

/** As it went over the line. Of the script of a worker the browser tells no size, but the cellar does. */
async function bytesOf(request: Request): Promise<number> {
  const { responseBodySize } = await request.sizes()
  const response = await request.response()
  const said = Number((await response?.headerValue('content-length')) ?? 0)
  return Math.max(responseBodySize, said)
}
