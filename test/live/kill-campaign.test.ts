import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import type { NumberedEntry } from '@attemper/core/batch/journal.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { Stream } from '@attemper/server/store/store.ts'
import { uniformInt } from 'pure-rand/distribution/uniformInt'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Addresses, CellarProcess } from './cellar-process.ts'
import { freePorts } from './free-ports.ts'
import { OutsideVessel } from './outside-vessel.ts'

/**
 * A cellar is killed with -9 at random moments, again and again, while a simulated vessel outside of it goes on handing in
 * readings and obeying commands. Afterwards the records are compared with what was acknowledged, the journal of commands
 * with the interlocks, and each start with the batch before it.
 */
const SEED = 20261125
const KILLS = 50
/** A lease of 15 min is 1.5 s, a rest of 5 min half a second: shorter and longer than what lies between two kills. */
const SPEED = 600
const LIVES_MS = [60, 500] as const
const REST_S = 300
const CHANGEOVER_S = 120

/**
 * Small and quick, in a room between the targets: heater and cooler are wanted in turn, and a beer that drifted while no
 * cellar lived, which takes longer on a busy machine, is brought back by the one or the other.
 */
const VESSEL = `vessel: Small keg
beer: 2 L
heat paths: { beer to wall: 12 W/°C, wall stores: 0.2 kJ/°C, wall to room: 3 W/°C }
room: { average: 17 °C, daily swing: 2 °C }
heater: { power: 60 W, stores: 0.1 kJ/°C, to wall: 3 W/°C, to air: 0.5 W/°C }
cooler: { power: 120 W, coldest: -10 °C, stores: 1 kJ/°C, to beer: 8 W/°C, rests at least: ${REST_S} s, runs at least: 60 s }
instruments:
  - { instrument: Probe, every: 20 s, measures: { beer: {} } }
  - { instrument: Second probe, every: 45 s, measures: { beer: {} } }
control: { method: on-off, heat: { start: 0.2 °C, stop: 0 °C }, cool: { start: 0.2 °C, stop: 0 °C } }
interlocks: { changeover: ${CHANGEOVER_S} s, command lasts: 15 min, heater answers within: 0 min, cooler answers within: 0 min }
`
/** More than a slow campaign gets through. */
const PARTS = 40
const BEER = `beer: Killed a hundred times
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: Up and down
limits: { lowest: 5 °C, highest: 28 °C }
stages:
${Array.from({ length: PARTS }, (_, n) => [18, 16, 19, 15, 18, 14, 19, 16][n % 8])
  .map(
    (hold, n) => `  - stage: Part ${n + 1}
    hold: ${hold} °C
    until: { stage lasted: 90 min }
    at most: 4 h
    if late: go on
`,
  )
  .join('')}  - stage: Rest
    hold: 17 °C
    until: { since pitch: 60 d }
    at most: 70 d
    if late: ask
`

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'attemper-kills-'))
})
afterAll(() => {
  rmSync(folder, { recursive: true, force: true })
})

async function ask<T>(url: string, path: string, body?: unknown): Promise<T> {
  const response = await fetch(`${url}${path}`, {
    method: body === undefined ? 'GET' : 'POST',
    headers: { 'x-attemper': '1', ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })
  if (!response.ok) throw new Error(`${path}: ${await response.text()}`)
  return (await response.json()) as T
}

test(`${KILLS} kills at random moments: nothing lost, nothing doubled, no interlock broken, the batch taken up`, async () => {
  const random = xoroshiro128plus(SEED)
  const [port, mqttPort] = (await freePorts(2)) as [number, number]
  const options = { dataDir: join(folder, 'data'), host: '127.0.0.1', port, mqttPort, speed: SPEED }
  const { vessel, findings } = readVessel(VESSEL, 'vessel')
  const { beer } = readBeer(BEER, 'beer')
  expect(findings).toEqual([])

  let present = new CellarProcess()
  let next = new CellarProcess()
  const first: Addresses = await present.start(options)
  const { url } = first
  await ask(url, '/vessels', { text: VESSEL })
  const outside = new OutsideVessel(first, vessel!, beer!, { pitchedBefore_s: 3600, seed: SEED })
  const { batch } = await ask<{ batch: string }>(url, '/batches', {
    vessel: 'Small keg',
    plan: PLAN,
    beer: BEER,
  })
  let before = await ask<BatchView>(url, `/batches/${batch}`)
  let acknowledgedBefore = 0
  let busyLives = 0

  for (let kill = 0; kill < KILLS; kill++) {
    await setTimeout(uniformInt(random, ...LIVES_MS))
    await present.kill()
    present = next
    next = new CellarProcess()
    await present.start(options)
    const after = await ask<BatchView>(url, `/batches/${batch}`)
    expect(after.state.batch, `after kill ${kill + 1}`).toBe('running')
    expect(after.state.startedAt_s).toBe(before.state.startedAt_s)
    expect(after.state.stage).toBeGreaterThanOrEqual(before.state.stage)
    if (after.state.stage === before.state.stage) {
      expect(after.state.stageSince_s).toBe(before.state.stageSince_s)
    }
    before = after
    if (outside.acknowledged.length > acknowledgedBefore) busyLives++
    acknowledgedBefore = outside.acknowledged.length
  }
  await next.kill()
  await outside.close()
  const entries = await readJournal(url, batch)
  const stored = await readStored(url, outside.now_s)
  await present.kill()

  // The campaign has been one: readings were acknowledged in most lives, and both appliances ran in many.
  expect(busyLives).toBeGreaterThan(KILLS / 2)
  expect(entries.filter(({ kind }) => kind === 'gap').length).toBeGreaterThan(KILLS / 2)

  const kept = new Map(stored.map(({ stream, at_s, value }) => [`${stream} ${at_s}`, value]))
  expect(kept.size, 'a reading is stored twice').toBe(stored.length)
  const lost = outside.acknowledged.filter(
    ({ stream, at_s, value }) => kept.get(`${stream} ${at_s}`) !== value,
  )
  expect(lost).toEqual([])
  const known = new Set(outside.sent.map(({ stream, at_s }) => `${stream} ${at_s}`))
  expect([...kept.keys()].filter(key => !known.has(key))).toEqual([])

  const runs = { heater: runsOf(entries, 'heater'), cooler: runsOf(entries, 'cooler') }
  expect(runs.heater.length).toBeGreaterThan(5)
  expect(runs.cooler.length).toBeGreaterThan(5)
  expect(outside.bothOn_s, 'heater and cooler were on together').toEqual([])
  expect(overlaps(runs.heater, runs.cooler)).toEqual([])
  expect(tooEarly(runs.cooler, entries)).toEqual([])
}, 240_000)

async function readJournal(url: string, batch: string): Promise<readonly NumberedEntry[]> {
  const entries: NumberedEntry[] = []
  for (;;) {
    const page = await ask<NumberedEntry[]>(url, `/batches/${batch}/log?after=${entries.length}&limit=10000`)
    entries.push(...page)
    if (page.length < 10_000) return entries
  }
}

async function readStored(url: string, now_s: number) {
  const streams = await ask<readonly Stream[]>(url, '/streams')
  const stored = await Promise.all(
    streams.map(async ({ vessel, instrument, quantity }) => {
      const query = new URLSearchParams({ vessel, instrument, quantity, limit: '100000' })
      query.set('from', String((now_s - 30 * 86_400) * 1000))
      query.set('to', String((now_s + 86_400) * 1000))
      const readings = await ask<readonly { at_ms: number; value: number }[]>(url, `/readings?${query}`)
      return readings.map(({ at_ms, value }) => ({
        stream: `${instrument}/${quantity}`,
        at_s: at_ms / 1000,
        value,
      }))
    }),
  )
  return stored.flat()
}

interface Run {
  readonly from_s: number
  readonly to_s: number
}

/** When an appliance was on by its commands: until the next command, or until its lease lapsed. */
function runsOf(entries: readonly NumberedEntry[], appliance: 'heater' | 'cooler'): readonly Run[] {
  const commands = entries.flatMap(entry =>
    entry.kind === 'command' && entry.command.appliance === appliance
      ? [{ at_s: entry.at_ms / 1000, ...entry.command }]
      : [],
  )
  const runs: { from_s: number; to_s: number }[] = []
  commands.forEach(({ at_s, on, until_s }, n) => {
    if (!on) return
    const to_s = Math.min(until_s, commands[n + 1]?.at_s ?? Number.POSITIVE_INFINITY)
    const last = runs.at(-1)
    if (last !== undefined && last.to_s === at_s) last.to_s = to_s
    else runs.push({ from_s: at_s, to_s })
  })
  return runs
}

function overlaps(some: readonly Run[], others: readonly Run[]): readonly [Run, Run][] {
  return some.flatMap(one =>
    others
      .filter(({ from_s, to_s }) => one.from_s < to_s && from_s < one.to_s)
      .map((other): [Run, Run] => [one, other]),
  )
}

/** Runs of the compressor that began before its rest was over: since its last run, and since the software came back. */
function tooEarly(runs: readonly Run[], entries: readonly NumberedEntry[]): readonly Run[] {
  const restarts_s = entries.flatMap(entry =>
    entry.kind === 'edit' && entry.edit.kind === 'restarted' ? [entry.at_ms / 1000] : [],
  )
  return runs.filter(({ from_s }, n) => {
    const ended_s = runs[n - 1]?.to_s ?? Number.NEGATIVE_INFINITY
    return [ended_s, ...restarts_s].some(since_s => from_s >= since_s && from_s < since_s + REST_S)
  })
}
