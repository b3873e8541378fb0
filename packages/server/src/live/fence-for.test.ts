import { expect, it } from 'vitest'
import { ManualTime } from './testing/manual-time.ts'
import { MemoryStore } from './testing/memory-store.ts'
import { AMBER, FRIDGE, SmallCellar, START_S, smallCellar, VESSEL } from './testing/small-cellar.ts'

const YEARS_MS = 5 * 365 * 86_400_000

async function cooled(house: SmallCellar): Promise<number> {
  const batch = house.start()
  await house.keepHearing(20, { 'Probe.beer': 19 })
  expect(house.cellar.view(batch).cooler?.on).toBe(true)
  house.cellar.stop(batch, 'Test')
  return Math.max(
    ...house
      .door()
      .take()
      .map(({ fence }) => fence),
  )
}

it('a batch after one on a clock that was years ahead begins above its fencing numbers', async () => {
  const ahead = new SmallCellar(new MemoryStore(), new ManualTime(START_S * 1000 + YEARS_MS))
  ahead.addVessel()
  const highest = await cooled(ahead)
  const right = new SmallCellar(ahead.store, new ManualTime(START_S * 1000))
  await cooledAbove(right, highest)
})

it('so it is when the clock is put right while the cellar runs', async () => {
  const house = smallCellar()
  house.addVessel()
  house.time.putClock(YEARS_MS)
  const highest = await cooled(house)
  house.time.putClock(-YEARS_MS)
  await cooledAbove(house, highest)
})

it('also when the later batch cannot be read any more; another vessel counts by itself', async () => {
  const house = smallCellar()
  house.addVessel()
  house.time.putClock(YEARS_MS)
  const highest = await cooled(house)
  house.time.putClock(-YEARS_MS)
  house.store.createBatch({ ...house.store.batches()[0]!, id: 'damaged', ended_ms: 1 })
  house.store.appendJournal('damaged', [], { fence: 'none' })
  await cooledAbove(house, highest)
  house.addVessel(FRIDGE.replace(VESSEL, 'Cellar fridge'))
  house.start({ ...AMBER, vessel: 'Cellar fridge' })
  await house.hear({ 'Probe.beer': 19 }, 'Cellar fridge')
  const first = house.door('Cellar fridge').commands[0]!
  expect(first.fence).toBeLessThan(house.now_s + 100)
})

it('what a full disk has kept out of the records is counted over', async () => {
  const house = smallCellar()
  house.addVessel()
  house.time.putClock(YEARS_MS)
  const batch = house.start()
  house.store.isFull = true
  for (let n = 0; n < 30; n++) await house.keepHearing(1, { 'Probe.beer': 19 }).catch(() => undefined)
  const highest = Math.max(
    ...house
      .door()
      .take()
      .map(({ fence }) => fence),
  )
  house.store.isFull = false
  const again = new SmallCellar(house.store, new ManualTime(house.time.now_ms() - YEARS_MS))
  expect(again.cellar.view(batch).state.fence).toBeGreaterThan(highest)
  for (const { fence } of again.door().commands) expect(fence).toBeGreaterThan(highest)
})

async function cooledAbove(house: SmallCellar, highest: number): Promise<void> {
  house.start()
  await house.keepHearing(20, { 'Probe.beer': 19 })
  const { commands } = house.door()
  expect(commands.length).toBeGreaterThan(2)
  for (const { fence } of commands) expect(fence).toBeGreaterThan(highest)
}
