import { once } from 'node:events'
import { writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { join } from 'node:path'
import { type RunningCellar, startCellar } from '@attemper/server/main.ts'
import { setPasswordIn } from '@attemper/server/set-password.ts'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CellarBench } from './testing/cellar-bench.ts'
import { expectShape } from './testing/expect-shape.ts'

const VESSEL = `vessel: Bucket
beer: 20 L
heat paths: { beer to wall: 12 W/°C, wall stores: 3 kJ/°C, wall to room: 4 W/°C }
room: { average: 14 °C }
heater: { power: 40 W, to wall: 3 W/°C, to air: 0.5 W/°C }
instruments:
  - instrument: Probe
    every: 10 s
    measures: { beer: {} }
  - instrument: Hydrometer
    by hand: true
    every: 2 d
    measures: { gravity: {} }
`
const BEER = `beer: Test ale
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: Two stages
limits: { lowest: 0 °C, highest: 24 °C }
stages:
  - stage: Primary
    hold: 18 °C
    until: { gravity: { at most: 1.049 } }
    ask first: Does it taste clean?
    at most: 10 d
    if late: ask
    if unknown: { wait: 4 d, then: ask }
  - stage: Warm finish
    hold: 20 °C
    until: { stage lasted: 3 d }
    at most: 5 d
    if late: ask
`

let bench: CellarBench
let folder = ''
let cellar: RunningCellar
beforeAll(async () => {
  bench = await CellarBench.open()
  ;({ folder, cellar } = bench)
  for (const [name, text] of Object.entries({ vessel: VESSEL, beer: BEER, plan: PLAN })) {
    bench.write(`${name}.yaml`, text)
  }
  bench.write('broken.yaml', PLAN.replace('1.049', '1.049 pionts'))
})
afterAll(() => bench.close())

const run: CellarBench['run'] = (words, changes) => bench.run(words, changes)

async function sendProbe(beer_C: number): Promise<void> {
  const response = await fetch(`${cellar.url}/readings?vessel=Bucket`, {
    method: 'POST',
    headers: { 'content-type': 'application/senml+json', 'x-attemper': '1' },
    body: JSON.stringify([{ bn: 'Probe/', n: 'beer', u: 'Cel', v: beer_C }]),
  })
  expect(response.status, await response.text()).toBe(200)
}

test('how long readings are kept is shown and changed', async () => {
  expect((await run(['retention'])).out).toContain('All readings are kept for ever.')
  const changed = await run(['retention', '--full-detail', '730 d', '--json'])
  expect(changed.status, changed.err).toBe(0)
  expect(expectShape('retention', changed.out)).toMatchObject({ fullDetail_d: 730, byTheMinute_d: null })
  expect((await run(['retention', '--by-the-minute', '60 d'])).err).toContain('at least as long')
  expect((await run(['retention', '--full-detail', 'soon'])).status).toBe(2)
  expect((await run(['retention', '--full-detail', 'for ever'])).out).toContain('for ever')
})

test('where no cellar answers, it is said how to start one', async () => {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  server.close()
  await once(server, 'close')
  const { status, err } = await run(['cellar'], { env: { ATTEMPER_CELLAR: `127.0.0.1:${port}` } })
  expect(status).toBe(2)
  expect(err).toContain('attemper serve')
})

test('what answers and is no cellar is called so', async () => {
  const { status, err } = await run(['cellar'], { env: { ATTEMPER_CELLAR: `${cellar.url}/health` } })
  expect(status).not.toBe(0)
  expect(err).not.toContain('fault of attemper')
})

describe('from a vessel to the end of a batch', () => {
  test('a vessel is added; one with a mistake is shown with its line', async () => {
    expect((await run(['cellar'])).out).toContain('attemper vessel add')
    writeFileSync(join(folder, 'odd.yaml'), VESSEL.replace('every: 10 s', 'every: 10 fortnights'))
    const odd = await run(['vessel', 'add', 'odd.yaml'])
    expect(odd.status).toBe(1)
    expect(odd.err).toMatch(/odd\.yaml:8:\d+: error/)
    writeFileSync(join(folder, 'doors.yaml'), 'heater: telepathy\n')
    const doors = await run(['vessel', 'add', 'vessel.yaml', '--doors', 'doors.yaml'])
    expect(doors.status).toBe(1)
    expect(doors.err).toMatch(/doors\.yaml:1:\d+: error/)
    bench.write('doors.yaml', 'heater: none\nlisten: { Prob: { one-wire: 28-000000abcdef } }\n')
    const unheard = await run(['vessel', 'add', 'vessel.yaml', '--doors', 'doors.yaml'])
    expect(unheard.status).toBe(1)
    expect(unheard.err).toMatch(/doors\.yaml:2:11: error not-a-choice/)
    expect(unheard.err).toContain('Did you mean “Probe”?')
    const added = await run(['vessel', 'add', 'vessel.yaml', '--json'])
    expect(added.status, added.err).toBe(0)
    expect(expectShape('vessel', added.out)).toEqual({ added: 'Bucket' })
  })

  test('a plan with errors is not started, and its line is shown', async () => {
    const { status, out, err } = await run([
      'start',
      'broken.yaml',
      '--vessel',
      'Bucket',
      '--beer',
      'beer.yaml',
    ])
    expect(status).toBe(1)
    expect(out).toBe('')
    expect(err).toMatch(/broken\.yaml:6:\d+: error/)
    expect(err).toContain('pionts')
    expect(JSON.parse((await run(['cellar', '--json'])).out).batches).toEqual([])
  })

  test('what must be true before a start is looked at, and does not stop it', async () => {
    const before = await run(['vessel', 'ready', 'Bucket'])
    expect(before.status).toBe(1)
    expect(before.out).toContain('Bucket is not ready yet. Probe has never been heard.')
    expect(before.out).toMatch(/^ok +The vessel is free:/m)
    await sendProbe(17.2)
    const after = await run(['vessel', 'ready', 'Bucket', '--beer', 'beer.yaml', '--json'])
    expect(after.status, after.err).toBe(0)
    expect(expectShape('vessel', after.out)).toMatchObject({ vessel: 'Bucket', ready: true, findings: [] })
    const broken = await run(['vessel', 'ready', 'Bucket', '--beer', 'beer.yaml', '--plan', 'broken.yaml'])
    expect(broken.status).toBe(1)
    expect(broken.err).toMatch(/broken\.yaml:6:\d+: error/)
    expect((await run(['vessel', 'ready', 'Nowhere'])).err).toContain('no vessel called')
  })

  test('a batch is started, and stands in the cellar', async () => {
    await sendProbe(17.2)
    const started = await run(['start', 'plan.yaml', '--vessel', 'Bucket', '--beer', 'beer.yaml', '--json'])
    expect(started.status, started.err).toBe(0)
    expect(started.err).toMatch(/things are as they should be|Bucket is ready/)
    expect(expectShape('batch', started.out)).toMatchObject({
      state: 'running',
      stage: 'Primary',
      // Believed or not yet: a first reading needs a second one that agrees, and two were sent about a second apart.
      measured: { beer: { value: 17.2, instrument: 'Probe' } },
    })
    await new Promise(resolve => setTimeout(resolve, 1100))
    await sendProbe(17.2)
    const { vessels, batches } = expectShape('cellar', (await run(['cellar', '--json'])).out)
    expect(vessels).toEqual(['Bucket'])
    expect(batches[0].batch).toMatch(/^\d{4}-\d{2}-\d{2}-test-ale$/)
    const { out } = await run(['cellar', '--fahrenheit'], { columns: 60 })
    // 17.2 °C = 62.96 °F.
    expect(out).toContain('63.0 °F')
  })

  test('the second batch has to wait for another vessel', async () => {
    const { status, err } = await run(['start', 'plan.yaml', '--vessel', 'Bucket', '--beer', 'beer.yaml'])
    expect(status).toBe(1)
    expect(err).toContain('test-ale')
  })

  test('it says why the heater is on, in the units that are wanted', async () => {
    const celsius = await run(['why', 'test', 'heater'])
    expect(celsius.out).toContain('17.2 °C')
    const fahrenheit = await run(['why', 'test', 'heater', '--fahrenheit'])
    expect(fahrenheit.out).toContain('63.0 °F')
    expectShape('why', (await run(['why', 'test', 'heater', '--json'])).out)
    expect((await run(['why', 'test', 'cooler'])).out).toContain('no cooler')
    expect((await run(['why', 'test', 'oven'])).status).toBe(2)
    const before = await run(['why', 'test', 'heater', '--at', '2020-01-01T00:00'])
    expect(before.out).toContain('not been started')
  })

  test('a gravity read by hand moves it on, after a question', async () => {
    const wrong = await run(['gravity', 'test', '1.5 bananas'])
    expect(wrong.status).toBe(2)
    const read = await run(['gravity', 'test', '11.9 °P', '--plato'])
    expect(read.status, read.err).toBe(0)
    expect(read.out).toContain('11.9 °P is kept as a reading of Hydrometer.')
    // 11.7 °Bx of a wort that began with 1.050 is some yeast's work, and no 1.047 as 11.7 °P would be.
    const refracted = await run(['gravity', 'test', '11.7 °Bx'])
    expect(refracted.out.replace(/\s+/g, ' '), refracted.err).toMatch(
      /^1\.04[23] is kept .* corrected for the alcohol from 11\.7 °Bx/,
    )
    const original = await run(['gravity', 'test', '1.051', '--original'])
    expect(original.out, original.err).toContain('1.051 is the original gravity of this batch now.')
    expect((await run(['gravity', 'test', '1.003', '--original'])).err).toContain('above the expected final')
    expect((await run(['log', 'test'])).out).toContain('The original gravity is 1.051, measured by hand')
    await expect
      .poll(async () => (await run(['watch', 'test', '--once'])).out)
      .toContain('Does it taste clean?')
    expect((await run(['cellar'])).out).toContain('Test ale needs you')
    await expect.poll(async () => (await run(['alarms'])).out).toContain('Test ale in Bucket: The plan asks:')
    const { alarms } = expectShape('alarms', (await run(['alarms', '--json'])).out)
    const id = String(alarms.find(({ code }: { code: string }) => code === 'question-open').id)
    expect((await run(['alarms', 'ack', id])).out).toContain('seen by brewer')
    expect((await run(['alarms', 'shelve', id, '--for', '2 h'])).out).toContain('shelved for')
    expect((await run(['alarms', 'unshelve', id])).out).not.toContain('shelved')
    expect((await run(['alarms', 'ack', '999'])).status).toBe(1)
    expect((await run(['alarms', 'ring'])).status).toBe(2)
    const watched = expectShape('watch', (await run(['watch', '--once', '--json'])).out)
    expect(watched.batches[0].questions).toMatchObject([{ id: 1, about: 'go on' }])
    expect((await run(['answer', 'test', '7', 'yes'])).status).toBe(1)
    expect((await run(['answer', 'test', 'perhaps'])).status).toBe(2)
    const answered = await run(['ack', 'test'])
    expect(answered.out).toContain('Warm finish')
    expect((await run(['answer', 'test'])).err).toContain('No question')
  })

  test('hold, resume, go-to and note; whoever holds a batch is not called for it', async () => {
    expect((await run(['hold', 'bucket'])).out).toContain('held in Warm finish')
    expect((await run(['alarms', '--json'])).out).not.toContain('batch-held')
    expect((await run(['hold', 'bucket'])).status).toBe(1)
    expect((await run(['resume', 'bucket'])).out).not.toContain('held')
    const lost = await run(['go-to', 'test', 'Crush'])
    expect(lost.status).toBe(1)
    expect(lost.err).toContain('Primary, Warm finish')
    expect((await run(['go-to', 'test', 'Primary'])).out).toContain('Primary')
    expect((await run(['note', 'test', 'Smells of pears'])).out).toContain('Noted.')
  })

  test('the rest of the plan is changed only after consent, and never for one with errors', async () => {
    writeFileSync(join(folder, 'longer.yaml'), PLAN.replace('stage lasted: 3 d', 'stage lasted: 4 d'))
    const broken = await run(['change', 'test', 'broken.yaml', '--yes'])
    expect(broken.status).toBe(1)
    expect(broken.err).toContain('pionts')
    const unasked = await run(['change', 'test', 'longer.yaml'])
    expect(unasked.err).toContain('--yes')
    // What it would do from now on is shown before anybody is asked.
    expect(unasked.err).toMatch(/everything as expected, it is\s+complete on/)
    expect(unasked.err).toMatch(/Warm\s+finish begins/)
    const asked: string[] = []
    const ask = async (question: string) => {
      asked.push(question)
      return 'no'
    }
    await run(['change', 'test', 'longer.yaml'], { ask })
    expect(asked).toHaveLength(1)
    expect(cellar.cellar.batches()[0]!.planText).toBe(PLAN)
    expect((await run(['change', 'test', 'longer.yaml', '--yes'])).out).toContain('from now on')
    expect(cellar.cellar.batches()[0]!.planText).toContain('4 d')
  })

  test('the calendar knows when the next transitions are expected', async () => {
    const { id } = cellar.cellar.batches()[0]!
    const calendar = await (await fetch(`${cellar.url}/batches/${id}/calendar.ics`)).text()
    expect(calendar).toContain('BEGIN:VEVENT')
    expect(calendar).toContain('Warm finish')
  })

  test('the log tells it all, with switches on request', async () => {
    const { out } = await run(['log', 'test'])
    for (const part of ['Primary begins', 'Does it taste clean?', 'Smells of pears', 'plan was changed']) {
      expect(out).toContain(part)
    }
    expect(out).not.toContain('Command')
    expect((await run(['log', 'test', '--switches'])).out).toMatch(/Command \d+: heater on/)
    expect((await run(['log', 'test', '--last', '1'])).out.trim().split('\n').length).toBeLessThan(4)
    const { entries } = expectShape('log', (await run(['log', 'test', '--json'])).out)
    expect(entries.length).toBeGreaterThan(8)
  })

  test('watch goes on until the batch ends', async () => {
    const watching = run(['watch', 'test'], { outIsTerminal: true, rows: 12 })
    await expect.poll(async () => (await run(['stop', 'test', '--yes'])).status).toBe(0)
    const { status, out } = await watching
    expect(status).toBe(0)
    expect(out).toMatch(/was stopped\s+in\s+Primary\s+on/)
    expect((await run(['stop', 'test', '--yes'])).status).toBe(1)
    expect((await run(['watch', 'tset'])).err).toContain('There is no batch')
  })

  test('errors are overruled only with a reason, which the log keeps', async () => {
    const hot = PLAN.replace('hold: 18 °C', 'hold: 30 °C')
    writeFileSync(join(folder, 'hot.yaml'), hot)
    const words = ['start', 'hot.yaml', '--vessel', 'Bucket', '--beer', 'beer.yaml']
    expect((await run(words)).status).toBe(1)
    expect((await run([...words, '--overrule', 'A test of the probe'])).status).toBe(0)
    expect((await run(['log', 'test'])).out.replaceAll(/\s+/g, ' ')).toContain('A test of the probe')
    expect((await run(['abort', 'test'])).out).toContain('aborted')
  })

  test('a vessel is taken away again, and its batches are kept', async () => {
    expect((await run(['vessel', 'remove', 'Bucket'])).status).toBe(0)
    expect((await run(['vessel', 'remove', 'Bucket'])).status).toBe(1)
    expect((await run(['log', 'test'])).status).toBe(2)
    const [first] = cellar.cellar.batches()
    expect((await run(['log', first!.id])).out).toContain('Primary begins')
  })
})

test('records are copied while the cellar runs, looked through, and put back elsewhere', async () => {
  const data = ['--data', join(folder, 'data')]
  expect((await run(['backup', 'copy', ...data])).status).toBe(0)
  const verified = await run(['verify', ...data, '--json'])
  expect(expectShape('verify', verified.out).faults).toEqual([])
  const busy = await run(['restore', 'copy', ...data])
  expect(busy.status).toBe(1)
  expect(busy.err).toContain(`process ${process.pid}`)
  expect((await run(['restore', 'copy', '--data', 'elsewhere'])).status).toBe(0)
  expect((await run(['verify', '--data', 'elsewhere'])).out).toContain('Nothing is wrong')
  expect((await run(['verify', '--data', 'nowhere'])).status).toBe(2)
  expect((await run(['restore', 'vessel.yaml', '--data', 'elsewhere'])).status).toBe(1)
})

test('records are fetched from a cellar that runs elsewhere', async () => {
  const fetched = await run(['backup', 'fetched', '--cellar', cellar.url])
  expect(fetched.status, fetched.err).toBe(0)
  expect(fetched.out).toContain(`The records of ${cellar.url} are copied into fetched`)
  expect((await run(['restore', 'fetched', '--data', 'far'])).status).toBe(0)
  expect((await run(['verify', '--data', 'far'])).out).toContain('Nothing is wrong')
  expect((await run(['backup', 'fetched', '--cellar', cellar.url, '--data', 'data'])).status).toBe(2)
  expect((await run(['backup', 'no/such/fetched', '--cellar', cellar.url])).status).toBe(2)
})

test('a second cellar on the same folder is refused', async () => {
  const { status, err } = await run(['serve', '--data', 'data', '--port', '0', '--mqtt-port', '0'])
  expect(status).toBe(1)
  expect(err).toContain('is in use by process')
})

describe('open to the network', () => {
  test('not without a password', async () => {
    const words = ['serve', '--data', 'open', '--host', '0.0.0.0', '--port', '0', '--mqtt-port', '0']
    const { status, err } = await run(words)
    expect(status).toBe(1)
    expect(err).toContain('password')
  })

  test('with one, commands sign in first; a viewer only looks', async () => {
    const dataDir = join(folder, 'open')
    await setPasswordIn(dataDir, 'brewer', 'brewer', 'seven wet barley sacks')
    const open = await startCellar({ dataDir, host: '0.0.0.0', port: 0, mqttPort: 0, log: () => undefined })
    try {
      const { port } = new URL(open.url)
      const env = { ATTEMPER_CELLAR: `http://127.0.0.1:${port}`, HOME: folder }
      const stranger = await run(['cellar'], { env })
      expect(stranger.status).toBe(1)
      expect(stranger.err).toContain('attemper sign-in')
      expect((await run(['sign-in'], { env: { ...env, ATTEMPER_PASSWORD: 'wrong' } })).status).toBe(1)
      const signedIn = await run(['sign-in'], {
        env: { ...env, ATTEMPER_PASSWORD: 'seven wet barley sacks' },
      })
      expect(signedIn.status, signedIn.err).toBe(0)
      expect((await run(['vessel', 'add', 'vessel.yaml'], { env })).status).toBe(0)

      const made = await run(['token', 'make', 'Float', '--door', 'readings:Bucket', '--json'], { env })
      const { token } = expectShape('token', made.out)
      const asFloat = { env: { ...env, ATTEMPER_TOKEN: token } }
      expect((await run(['cellar'], asFloat)).status).toBe(1)
      expectShape('token', (await run(['token', 'list', '--json'], { env })).out)
      expect((await run(['token', 'remove', 'Float', '--json'], { env })).status).toBe(0)

      const viewer = await run(['password', 'anna', '--viewer'], {
        env: { ...env, ATTEMPER_PASSWORD: 'another good one' },
      })
      expect(viewer.status, viewer.err).toBe(0)
      const asAnna = { ...env, XDG_STATE_HOME: join(folder, 'anna') }
      await run(['sign-in', 'anna'], { env: { ...asAnna, ATTEMPER_PASSWORD: 'another good one' } })
      expect((await run(['cellar'], { env: asAnna })).status).toBe(0)
      expect((await run(['vessel', 'remove', 'Bucket'], { env: asAnna })).status).toBe(1)
    } finally {
      await open.close()
    }
  })
})
