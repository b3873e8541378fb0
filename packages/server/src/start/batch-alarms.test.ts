import { setImmediate } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { openAlarms } from '../alarms/alarm-keeper.ts'
import { PaperStore } from '../alarms/testing/paper-store.ts'
import { openCellar } from '../live/open-cellar.ts'
import { ManualTime } from '../live/testing/manual-time.ts'
import { smallCellar } from '../live/testing/small-cellar.ts'
import { placeIn, watchBatches } from './batch-alarms.ts'
import { TroubleAlarms } from './trouble-alarms.ts'

/** A batch whose plan cannot be read, beside nothing else, with alarms as `main.ts` joins them. */
async function joined() {
  const house = smallCellar()
  house.addVessel()
  const batch = house.start()
  await house.keepHearing(5, { 'Probe.beer': 17 })
  house.store.updateBatch(batch, { planText: 'plan: [' })
  const time = new ManualTime(house.time.now_ms() + 60_000)
  const faults: unknown[] = []
  const alarms = openAlarms({ store: new PaperStore(), clock: time, timers: time, notify: () => undefined })
  const troubles = new TroubleAlarms()
  const cellar = openCellar({
    store: house.store,
    clock: time,
    timers: time,
    doorFor: () => house.door(),
    log: () => undefined,
    onTrouble: trouble => {
      const report = troubles.reportOf(trouble)
      if (report === null) return
      alarms.report({ ...report, place: placeIn(house.store, report.batch) }, report.detail)
    },
  })
  const stop = watchBatches(cellar, alarms, fault => faults.push(fault))
  return { cellar, alarms, batch, faults, stop }
}

test('a batch that cannot be taken up is an alarm of high priority at its place', async () => {
  const { alarms, batch } = await joined()
  const [alarm] = alarms.list()
  expect(alarm).toMatchObject({
    code: 'batch-not-kept',
    priority: 'high',
    state: 'active',
    place: { batch, vessel: 'Garage fridge' },
  })
  expect(alarm?.sentence).toMatch(/^Nobody looks after this batch: plan:1/)
  expect(alarm?.instruction).toContain('attemper take-up')
})

// A note on it threw in a callback of the platform, and the program ended with every batch in it.
test('a note on it harms nothing, and its end ends the alarm', async () => {
  const { cellar, alarms, batch, faults, stop } = await joined()
  cellar.note(batch, 'Still bubbling', 'Test')
  await setImmediate()
  await setImmediate()
  expect(alarms.list()).toHaveLength(1)
  cellar.stop(batch, 'Test')
  await setImmediate()
  await setImmediate()
  expect(alarms.list()).toEqual([])
  expect(faults).toEqual([])
  stop()
})
