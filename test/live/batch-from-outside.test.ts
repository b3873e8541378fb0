import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { main } from '../../packages/cli/src/main.ts'
import { memoryIo } from '../../packages/cli/src/testing/memory-io.ts'
import { CellarProcess } from './cellar-process.ts'
import { freePorts } from './free-ports.ts'
import { OutsideVessel } from './outside-vessel.ts'

/**
 * A batch as a brewer meets it: a cellar in a process of its own, a simulated vessel that speaks to it from outside, and
 * nothing else but the commands. In the middle the process is killed with -9, and the batch goes on where it was.
 */
const VESSEL = `vessel: Old fridge
beer: 20 L
heat paths:
  beer to wall: 12 W/°C
  wall stores: 3 kJ/°C
  wall to air: 4 W/°C
  air stores: 9 kJ/°C
  air to room: 1.6 W/°C
room: { average: 16 °C }
heater: { power: 120 W, to wall: 6 W/°C, to air: 0.5 W/°C }
cooler: { power: 160 W, coldest: -18 °C, stores: 4 kJ/°C, to air: 8 W/°C, rests at least: 5 min }
instruments:
  - { instrument: Probe, every: 2 min, timeout: 3 h, measures: { beer: {} } }
  - { instrument: Float, every: 10 min, timeout: 6 h, measures: { gravity: { noise: 0.2 points } } }
  - { instrument: Hydrometer, by hand: true, every: 2 d, measures: { gravity: {} } }
trust: { gravity: [Float, Hydrometer] }
`
const BEER = `beer: Outside ale
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: Two stages and a question
limits: { lowest: 0 °C, highest: 26 °C }
stages:
  - stage: Primary
    hold: 18 °C
    until: { stage lasted: 2 h }
    at most: 10 d
    if late: ask
  - stage: Warm finish
    ramp: { to: 20 °C, at: 1 °C/h }
    until: { gravity: { at most: 1.045 } }
    ask first: Does it taste clean?
    at most: 10 d
    if late: ask
    if unknown: { wait: 3 d, then: ask }
  - stage: Cool down
    ramp: { to: 12 °C, at: 1 °C/h }
    until: { beer: { at most: 12.5 °C } }
    at most: 4 d
    if late: ask
`
/** Silences that are borne are long: a machine with much else to do can be late by half an hour of the cellar's clock. */
const SPEED = 2000
const DAY_S = 86_400

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-outside-'))
  for (const [name, text] of Object.entries({ vessel: VESSEL, beer: BEER, plan: PLAN })) {
    writeFileSync(join(folder, `${name}.yaml`), text)
  }
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

test('from pitching over a question and a kill to the next stage', async () => {
  const [port, mqttPort] = (await freePorts(2)) as [number, number]
  const options = { dataDir: join(folder, 'data'), host: '127.0.0.1', port, mqttPort, speed: SPEED }
  const run = async (...words: readonly string[]) => {
    const io = memoryIo({ folder })
    const env = { ...io.env, ATTEMPER_CELLAR: `http://127.0.0.1:${port}` }
    const status = await main(words, { ...io, env })
    if (status !== 0) throw new Error(`attemper ${words.join(' ')}: ${io.written.err}`)
    return io.written.out
  }
  const batch = async () => JSON.parse(await run('watch', 'outside', '--once', '--json')).batches[0]
  const soon = { timeout: 40_000, interval: 100 }

  const first = new CellarProcess()
  const second = new CellarProcess()
  const addresses = await first.start(options)
  await run('vessel', 'add', 'vessel.yaml')
  const { vessel } = readVessel(VESSEL, 'vessel')
  const { beer } = readBeer(BEER, 'beer')
  const outside = new OutsideVessel(addresses, vessel!, beer!, { pitchedBefore_s: 1.5 * DAY_S, seed: 3 })
  try {
    await run('start', 'plan.yaml', '--vessel', 'Old fridge', '--beer', 'beer.yaml')
    await expect.poll(async () => (await batch()).stage, soon).toBe('Warm finish')
    await expect.poll(async () => (await batch()).questions.length, soon).toBe(1)
    const before = await batch()
    expect(await run('cellar')).toContain('Outside ale needs you')
    expect(await run('why', 'outside', 'heater')).toMatch(/^Heater (on|off|wanted)/)

    await first.kill()
    await second.start(options)
    const after = await batch()
    expect(after).toMatchObject({
      stage: 'Warm finish',
      started: before.started,
      questions: before.questions,
    })
    expect(await run('log', 'outside')).toContain('The software was away')

    expect(await run('gravity', 'outside', '1.0445')).toContain('kept as a reading of Hydrometer')
    expect(await run('answer', 'outside', String(before.questions[0].id), 'yes')).toContain('Cool down')
    await expect.poll(() => run('why', 'outside', 'cooler'), soon).toContain('Cooler on: ')
    expect(await run('hold', 'outside')).toContain('held in Cool down')
    expect(await run('stop', 'outside', '--yes')).toContain('stopped')
  } finally {
    await outside.close()
    await Promise.all([first.kill(), second.kill()])
  }
})
