import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { databaseIn, restoreBackup } from '@attemper/server/data-folder.ts'
import { isRefusal, startCellar } from '@attemper/server/main.ts'
import { afterEach, beforeEach, expect, test } from 'vitest'

const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8')

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-gone-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const options = () => ({
  dataDir: join(folder, 'data'),
  host: '127.0.0.1',
  port: 0,
  mqttPort: 0,
  log: () => undefined,
})

/** Somebody tidies up the folder of a cellar in which a batch runs. */
test('records that are removed under a running cellar: no reading is acknowledged, somebody is told, and a backup saves them', async () => {
  const running = await startCellar(options())
  running.cellar.putVessel(example('garage-fridge.vessel.yaml'), '', 'test')
  const request = {
    vessel: 'Garage fridge',
    planText: example('amber-ale.plan.yaml'),
    beerText: example('amber-ale.beer.yaml'),
  }
  const { batch } = running.cellar.startBatch(request, 'test')
  const hear = () =>
    fetch(`${running.url}/readings?vessel=Garage%20fridge`, {
      method: 'POST',
      headers: { 'content-type': 'application/senml+json', 'x-attemper': '1' },
      body: JSON.stringify([{ n: 'Probe/beer', u: 'Cel', v: 18 }]),
    })
  expect((await hear()).status).toBe(200)

  rmSync(databaseIn(options().dataDir))
  const refused = await hear()
  expect(refused.status).toBe(503)
  expect(await refused.text()).toContain('has been removed while the cellar runs')
  const alarms = (await (await fetch(`${running.url}/alarms`)).json()) as { code: string; sentence: string }[]
  expect(alarms).toContainEqual(
    expect.objectContaining({
      code: 'storage-trouble',
      priority: 'high',
      detail: expect.stringContaining('has been removed while the cellar runs'),
    }),
  )
  expect((await fetch(`${running.url}/batches/${batch}`)).status).toBe(200)

  const fetched = await fetch(`${running.url}/backup`)
  expect(fetched.status).toBe(200)
  const saved = join(folder, 'saved.backup')
  writeFileSync(saved, Buffer.from(await fetched.arrayBuffer()))
  await running.close()

  // The next start does not begin with empty records.
  const problem: unknown = await startCellar(options()).catch(error => error)
  expect(isRefusal(problem)).toBe(true)
  expect((problem as Error).message).toMatch(/are gone.*attemper restore FILE/s)
  await restoreBackup(saved, options().dataDir, Date.now())
  const again = await startCellar(options())
  expect(again.cellar.view(batch!).state.batch).toBe('running')
  await again.close()
}, 30_000)

test('a cellar does not start on records whose journal is damaged, and says what would be right', async () => {
  await (await startCellar(options())).close()
  const file = databaseIn(options().dataDir)
  const { DatabaseSync } = await import('node:sqlite')
  const db = new DatabaseSync(file)
  const page = Number(db.prepare("select rootpage from sqlite_schema where name = 'journal'").get()?.rootpage)
  db.close()
  const bytes = readFileSync(file)
  bytes.fill(0, (page - 1) * 8192, page * 8192)
  writeFileSync(file, bytes)
  const problem: unknown = await startCellar(options()).catch(error => error)
  expect(isRefusal(problem)).toBe(true)
  expect((problem as Error).message).toMatch(
    /The table journal of the database is damaged.*attemper restore FILE/s,
  )
})
