import { databaseIn } from '@attemper/server/data-folder.ts'
import { openSqliteStore } from '@attemper/server/store/sqlite/open.ts'
import { expect, test } from 'vitest'
import { CellarBench } from '../testing/cellar-bench.ts'
import { expectShape } from '../testing/expect-shape.ts'

const VESSEL = `vessel: Bucket
beer: 20 L
heat paths: { beer to wall: 12 W/°C, wall stores: 3 kJ/°C, wall to room: 4 W/°C }
room: { average: 14 °C }
heater: { power: 40 W, to wall: 3 W/°C, to air: 0.5 W/°C }
instruments:
  - { instrument: Probe, every: 10 s, measures: { beer: {} } }
`
const BEER = `beer: Test ale
original gravity: 1.050
final gravity: 1.012
starts at: 18 °C
start: 2026-12-04T18:00
yeast: { name: House ale yeast, class: ale }
`
const PLAN = `plan: One stage
limits: { lowest: 0 °C, highest: 24 °C }
stages:
  - { stage: Primary, hold: 18 °C, until: { stage lasted: 9 d }, at most: 10 d, if late: ask }
`

test('a batch whose plan cannot be read is listed as such, and taken up with another plan', async () => {
  const bench = await CellarBench.open()
  try {
    for (const [name, text] of Object.entries({ vessel: VESSEL, beer: BEER, plan: PLAN })) {
      bench.write(`${name}.yaml`, text)
    }
    expect((await bench.run(['vessel', 'add', 'vessel.yaml'])).status).toBe(0)
    const start = ['start', 'plan.yaml', '--vessel', 'Bucket', '--beer', 'beer.yaml']
    const started = await bench.run(start)
    expect(started.status, started.err).toBe(0)
    const [{ id } = { id: '' }] = bench.cellar.cellar.batches()
    await bench.restart(folder => {
      const store = openSqliteStore(databaseIn(folder))
      store.updateBatch(id, { planText: 'plan: [' })
      store.close()
    })

    const shown = await bench.run(['cellar'])
    expect(shown.status, shown.err).toBe(0)
    expect(shown.out.replace(/\s+/g, ' ')).toContain('Nobody looks after Test ale in Bucket: plan:1')
    const { unkept, batches } = expectShape('cellar', (await bench.run(['cellar', '--json'])).out)
    expect([unkept.length, batches.length]).toEqual([1, 0])
    expect((await bench.run(['alarms'])).out).toContain('Nobody looks after this batch')
    expect((await bench.run(['hold', 'bucket'])).err.replace(/\s+/g, ' ')).toContain('Nobody looks after')
    expect((await bench.run(['note', 'bucket', 'Still bubbling'])).status).toBe(0)
    expect((await bench.run(['take-up', 'bucket'])).status).toBe(1)

    const taken = await bench.run(['take-up', 'bucket', '--plan', 'plan.yaml'])
    expect(taken.status, taken.err).toBe(0)
    expect(taken.out).toContain('The batch is taken up.')
    expect((await bench.run(['cellar'])).out).not.toContain('Nobody looks after')
    expect((await bench.run(['alarms'])).out).not.toContain('Nobody looks after')
  } finally {
    await bench.close()
  }
}, 60_000)
