/**
 * From an empty cellar to a vessel that is heard, in a browser: a first vessel by a few questions, a token for its float, a
 * message of the float's own read by clicking on its numbers, and then the units in which all of it is told.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setPasswordIn } from '@attemper/server/set-password.ts'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarProcess } from '../live/cellar-process.ts'
import {
  accessFaults,
  emptyRoomBelow,
  hasBrowser,
  layoutShift,
  openBrowser,
  overflow,
  PHONE,
  tooSmall,
  visit,
  WIDE,
} from './browser.ts'

const VESSEL = 'Shed tank'
const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8')

describe.skipIf(!hasBrowser)('the first visit and the settings in a browser', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-settings-'))
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

  async function send(path: string, body: unknown, headers: Record<string, string> = {}) {
    const answer = await fetch(url + path, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: JSON.stringify(body),
    })
    return { status: answer.status, body: (await answer.json()) as Record<string, unknown> }
  }

  const change = (path: string, body: unknown) => send(path, body, { 'x-attemper': '1' })

  test('whoever has no vessel yet describes one, reads its text, and adds it', async () => {
    const { page, faults } = await visit(browser, url, WIDE)
    await page.getByRole('link', { name: 'Begin' }).click()
    await page.getByRole('button', { name: 'Open a demo cellar' }).waitFor()
    expect(await accessFaults(page)).toEqual([])
    await page.getByLabel('What is it called?').fill(VESSEL)
    await page.getByLabel('How much beer is usually in it?').fill('a lot')
    await page.getByLabel('a float that swims in the beer').check()
    await page.getByRole('button', { name: 'Write its text' }).click()
    await page.getByText('“a lot” is not').waitFor()
    const wrong = page.getByLabel('How much beer is usually in it?')
    expect(await wrong.evaluate(each => each === document.activeElement)).toBe(true)
    expect(await wrong.evaluate(each => each.getBoundingClientRect().top)).toBeGreaterThanOrEqual(0)
    await page.getByLabel('How much beer is usually in it?').fill('60 L')
    await page.getByRole('button', { name: 'Write its text' }).click()
    await page.getByRole('textbox', { name: /^The vessel as text/ }).waitFor()
    await page.locator('.cm-line', { hasText: 'beer: 60 L' }).waitFor()
    expect(await accessFaults(page)).toEqual([])
    await page.getByRole('button', { name: 'Add it to the cellar' }).click()
    await page.getByRole('heading', { level: 1, name: `${VESSEL} is in the cellar.` }).waitFor()
    await page.getByRole('link', { name: 'Join its instruments' }).click()
    await page.getByRole('heading', { level: 1, name: `Join an instrument to ${VESSEL}.` }).waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('a float with a token says things in its own way, and is understood by a few clicks', async () => {
    const { page, faults } = await visit(browser, `${url}/#/settings/people`, WIDE)
    await page.getByLabel('Name of the device').fill('Float of the shed')
    await page.getByLabel('It may').selectOption(`readings:${VESSEL}`)
    await page.getByRole('button', { name: 'Make a token' }).click()
    const token = await page.locator('.notice code').textContent()
    expect(token).toMatch(/^at_/)
    await page.getByText(`Float of the shed sends readings of ${VESSEL}`).waitFor()
    expect(await accessFaults(page)).toEqual([])

    await page.goto(`${url}/#/settings/vessels/${encodeURIComponent(VESSEL)}/join`)
    await page.getByText('Listening').waitFor()
    const bearer = { authorization: `Bearer ${token}` }
    const message = { device: 7, data: { plato: '12.4', temp: 66.2, battery: 3.9 } }
    expect((await send('/readings', message, bearer)).status).toBe(422)
    const heard = page.getByRole('list', { name: 'Messages, the latest first' }).getByRole('listitem')
    await heard
      .filter({ hasText: 'no mapping was named' })
      .getByRole('button', { name: 'Read this one' })
      .click()
    await page.getByRole('button', { name: '/data/plato, "12.4"' }).click()
    await page.getByRole('button', { name: '/data/temp, 66.2' }).focus()
    await page.keyboard.press('Enter')
    await page.getByLabel('is read as').nth(1).selectOption({ label: 'Probe, beer' })
    // 12.4 °P is 1.050, by the ASBC's table; 66.2 °F is 19 °C.
    await page.getByText('From this message: Float, gravity: 1.050; Probe, beer: 19.0 °C').waitFor()
    await page.getByRole('button', { name: 'Write it into the doors' }).click()
    await page.locator('.cm-line', { hasText: 'at: /data/plato' }).waitFor()
    expect(await accessFaults(page)).toEqual([])
    await page.getByRole('button', { name: 'Take these doors' }).click()
    await page.getByText('know the mapping float now').waitFor()

    expect(await send('/readings?mapping=float', message, bearer)).toMatchObject({
      status: 200,
      body: { stored: 2 },
    })
    await heard.first().getByText('Taken: Float, gravity: 1.050; Probe, beer: 19.0 °C').waitFor()
    // A hundred messages for which nothing has to be done made the page 3,400 px longer than what it holds.
    for (let n = 0; n < 60; n += 1) {
      await send(
        '/readings?mapping=float',
        { ...message, data: { ...message.data, temp: 60 + n / 10 } },
        bearer,
      )
    }
    await heard
      .first()
      .getByText(/Taken: Float, gravity: 1\.050; Probe, beer: 18\.8/)
      .waitFor()
    expect(await heard.count()).toBeGreaterThanOrEqual(40)
    expect(await emptyRoomBelow(page)).toBeLessThan(4)
    expect(await accessFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('another unit and another clock are chosen, and the Cellar tells by them', async () => {
    const fridge = example('garage-fridge.vessel.yaml')
    expect((await change('/vessels', { text: fridge })).status).toBe(201)
    await change('/readings?vessel=garage-fridge', [{ n: 'probe/beer', u: 'Cel', v: 18 }])
    const plan = example('amber-ale.plan.yaml')
    const beer = example('amber-ale.beer.yaml')
    const started = await change('/batches', { vessel: 'Garage fridge', plan, beer, overrule: 'a test' })
    expect(started.status).toBe(201)
    await change('/readings?vessel=garage-fridge', [{ n: 'probe/beer', u: 'Cel', v: 18 }])
    const { page, faults } = await visit(browser, url, WIDE)
    await page
      .getByText(/18\.0\s°C/)
      .first()
      .waitFor()
    await page.getByRole('link', { name: 'Settings' }).click()
    await page.getByText('The crash began on day 6, 14:05.').waitFor()
    await page.getByRole('radio', { name: '°F' }).check()
    await page.getByText('The beer is at 65.1 °F.').waitFor()
    await page.getByRole('radio', { name: '12 hours' }).focus()
    await page.keyboard.press('Space')
    await page.getByText('The crash began on day 6, 2:05 pm.').waitFor()
    await page.getByRole('link', { name: 'Cellar' }).click()
    await page
      .getByText(/64\.4\s°F/)
      .first()
      .waitFor()
    await page.reload()
    await page
      .getByText(/64\.4\s°F/)
      .first()
      .waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('settings of telling are read while they are written, tried, and removed from', async () => {
    const { page, faults } = await visit(browser, `${url}/#/settings/alarms`, WIDE)
    await page.getByRole('button', { name: 'Begin with an example' }).click()
    await page.locator('.cm-line', { hasText: 'by: bell' }).click()
    await page.keyboard.press('End')
    await page.keyboard.type('s')
    await page.getByText('There is no channel “bells”.').first().waitFor()
    expect(await page.getByRole('button', { name: 'Take these settings' }).isDisabled()).toBe(true)
    await page.keyboard.press('Backspace')
    await expect.poll(() => page.getByRole('button', { name: 'Take these settings' }).isEnabled()).toBe(true)
    await page.getByRole('button', { name: 'Take these settings' }).click()
    await page.getByRole('heading', { level: 1, name: 'Alarms are told to bell.' }).waitFor()
    await page.getByRole('button', { name: 'Try bell' }).click()
    await page.getByText(/✓ .*bell/).waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('a backup is fetched, and a vessel removed when somebody says so twice', async () => {
    const { page, faults } = await visit(browser, `${url}/#/settings/records`, WIDE)
    const fetched = page.waitForEvent('download')
    await page.getByRole('link', { name: 'Fetch a backup' }).click()
    expect((await fetched).suggestedFilename()).toMatch(/^attemper-\d{4}-\d{2}-\d{2}\.backup$/)
    await page.getByRole('link', { name: 'Vessels and instruments' }).click()
    await page.getByRole('heading', { level: 1, name: 'There are 2 vessels here' }).waitFor()
    await page.getByRole('button', { name: 'Remove' }).click()
    await page.getByRole('button', { name: 'Leave it as it is' }).click()
    await page.getByRole('button', { name: 'Remove' }).click()
    await page.getByRole('button', { name: 'Remove it' }).click()
    await page.getByRole('heading', { level: 1, name: 'There is one vessel here' }).waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test.each([
    ['reading', 'The beer is at', PHONE],
    ['alarms', 'Who is told what', { ...PHONE, scheme: 'light' }],
    ['people', 'What was changed', PHONE],
    ['vessels', 'Join an instrument', { ...PHONE, scheme: 'light' }],
    ['records', 'Fetch a backup', PHONE],
    ['vessels/Garage%20fridge', 'How it is heard and switched', { ...PHONE, scheme: 'light' }],
    ['vessels/Garage%20fridge/join', 'By HTTP, POST to', PHONE],
  ] as const)('on a telephone: %s', async (section, words, look) => {
    const { page, faults } = await visit(browser, `${url}/#/settings/${section}`, look)
    await page.getByText(words).first().waitFor()
    expect(await overflow(page)).toBe(0)
    expect(await tooSmall(page)).toEqual([])
    expect(await layoutShift(page)).toBeLessThan(0.1)
    expect(await accessFaults(page)).toEqual([])
    expect(faults).toEqual([])
    await page.context().close()
  })
})

describe.skipIf(!hasBrowser)('the settings of a cellar that is open to a network', () => {
  const PASSWORDS = { brewer: 'three hops and a spoon', Guest: 'only looking here' }
  const dataDir = mkdtempSync(join(tmpdir(), 'attemper-settings-'))
  const cellar = new CellarProcess()
  let browser: Browser
  let url = ''

  beforeAll(async () => {
    browser = await openBrowser()
    await setPasswordIn(dataDir, 'brewer', 'brewer', PASSWORDS.brewer)
    await setPasswordIn(dataDir, 'Guest', 'viewer', PASSWORDS.Guest)
    url = (await cellar.start({ dataDir, host: '0.0.0.0', port: 0, mqttPort: 0, speed: 1 })).url
  }, 120_000)

  afterAll(async () => {
    await browser?.close()
    await cellar.kill()
    rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
  })

  async function enter(who: keyof typeof PASSWORDS) {
    const seen = await visit(browser, `${url}/#/settings/people`, WIDE)
    await seen.page.getByLabel('Name', { exact: true }).fill(who)
    await seen.page.getByLabel('Password').fill(PASSWORDS[who])
    await seen.page.keyboard.press('Enter')
    await seen.page.getByRole('heading', { level: 1, name: `You are signed in as ${who}` }).waitFor()
    return seen
  }

  test('a brewer lets somebody in, and no more', async () => {
    const { page, faults } = await enter('brewer')
    await page.getByLabel('Name', { exact: true }).fill('Sam')
    await page.getByLabel('Password, at least 10 characters').fill('long enough to keep')
    await page.getByRole('button', { name: 'Let them in' }).click()
    await page.getByText('Sam may sign in now.').waitFor()
    const sam = page.getByRole('listitem').filter({ hasText: 'Sam may look' })
    await sam.getByRole('button', { name: 'Let in no more' }).click()
    await page.getByRole('dialog').getByRole('button', { name: 'Let in no more' }).click()
    await sam.waitFor({ state: 'hidden' })
    // The last brewer stays.
    await page.getByRole('button', { name: 'Let in no more' }).first().click()
    await page.getByRole('dialog').getByRole('button', { name: 'Let in no more' }).click()
    await page.getByRole('alert').getByText('Nobody would be left').waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })

  test('a viewer sees nothing that changes the cellar, chooses units, and signs out', async () => {
    const { page, faults } = await enter('Guest')
    expect(await page.getByRole('button').allTextContents()).toEqual(['Sign out'])
    for (const [section, words] of [
      ['alarms', 'There is none yet.'],
      ['vessels', 'There is no vessel here yet.'],
      ['records', 'A brewer fetches backups'],
    ] as const) {
      await page.goto(`${url}/#/settings/${section}`)
      await page.getByText(words).waitFor()
      expect(await page.getByRole('button', { name: /take|make|remove|keep|describe/i }).count()).toBe(0)
    }
    await page.goto(`${url}/#/settings/reading`)
    await page.getByRole('radio', { name: '°P' }).check()
    await page.getByText('It has fermented down to 3.1 °P.').waitFor()
    await page.goto(`${url}/#/settings/people`)
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.getByRole('heading', { name: 'This cellar asks who you are.' }).waitFor()
    expect(faults).toEqual([])
    await page.context().close()
  })
})
