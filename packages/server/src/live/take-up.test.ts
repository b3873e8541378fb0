import { describe, expect, it } from 'vitest'
import { CellarError } from './cellar.ts'
import { ManualTime } from './testing/manual-time.ts'
import { AMBER, AMBER_ALE, FRIDGE, SmallCellar, smallCellar, VESSEL } from './testing/small-cellar.ts'

const OTHER = 'Cellar fridge'

/** Two batches that heat; then the software is killed, `damage` is done to the records of the first, and it is opened again. */
async function damaged(damage: (house: SmallCellar, batch: string) => void) {
  const house = smallCellar()
  house.addVessel()
  house.addVessel(FRIDGE.replace(VESSEL, OTHER))
  const batch = house.start()
  const other = house.start({ ...AMBER, vessel: OTHER })
  for (const vessel of [VESSEL, OTHER]) await house.keepHearing(20, { 'Probe.beer': 17 }, vessel)
  house.cellar.goTo(batch, 'Warm finish', 'Test')
  await house.keepHearing(5, { 'Probe.beer': 17 })
  const { state } = house.cellar.view(batch)
  const fence = Math.max(...house.door().commands.map(each => each.fence))
  damage(house, batch)
  const again = new SmallCellar(house.store, new ManualTime(house.time.now_ms() + 60_000))
  return { again, batch, other, state, fence }
}

const unreadable = (house: SmallCellar, batch: string) =>
  house.store.updateBatch(batch, { planText: 'plan: [' })

function codeOf(call: () => unknown): string {
  try {
    call()
    return 'nothing was thrown'
  } catch (error) {
    return error instanceof CellarError ? error.code : String(error)
  }
}

describe('a batch whose plan cannot be read', () => {
  it('is said to be looked after by nobody, its appliances are told off, and the other one goes on', async () => {
    const { again, batch, other, fence } = await damaged(unreadable)
    expect(again.troubles).toEqual(['not taken up'])
    expect(again.cellar.whyUnkept(batch)).toContain('plan:1')
    expect(again.cellar.whyUnkept(other)).toBeNull()
    const told = again.door().commands
    expect(told.map(each => [each.appliance, 'on' in each && each.on])).toEqual([
      ['heater', false],
      ['cooler', false],
    ])
    for (const command of told) expect(command.fence).toBeGreaterThan(fence)
    expect(again.cellar.view(other).state.batch).toBe('running')
    await again.keepHearing(10, { 'Probe.beer': 17 }, OTHER)
    expect(again.cellar.view(other).heater?.on).toBe(true)
  })

  it('can be looked at, noted and listened for without any harm', async () => {
    const { again, batch } = await damaged(unreadable)
    for (const ask of [
      () => again.cellar.view(batch),
      () => again.cellar.why(batch, 'heater'),
      () => again.cellar.hold(batch, 'Test'),
      () => again.cellar.changePlan(batch, AMBER_ALE, 'Test'),
    ]) {
      expect(codeOf(ask)).toBe('not-kept')
    }
    again.cellar.note(batch, 'Still bubbling', 'Test')
    expect(again.cellar.log(batch, 0, 1000).at(-1)).toMatchObject({ kind: 'note', text: 'Still bubbling' })
  })

  it('is taken up with a plan that can be read, in the stage of the same name, and as old as it is', async () => {
    const { again, batch, state, fence } = await damaged(unreadable)
    expect(codeOf(() => again.cellar.takeUp(batch, undefined, 'Test'))).toBe('not-kept')
    expect(codeOf(() => again.cellar.takeUp(batch, 'plan: {', 'Test'))).toBe('has-errors')
    const renamed = AMBER_ALE.replaceAll('Warm finish', 'Warm end')
    expect(codeOf(() => again.cellar.takeUp(batch, renamed, 'Test'))).toBe('unknown-stage')
    expect(again.cellar.whyUnkept(batch)).not.toBeNull()
    again.door().take()
    again.cellar.takeUp(batch, AMBER_ALE, 'Test')
    const view = again.cellar.view(batch)
    expect(view.stage).toBe('Warm finish')
    expect(view.state.startedAt_s).toBe(state.startedAt_s)
    expect(view.state.stageSince_s).toBe(state.stageSince_s)
    expect(again.troubles).toEqual(['not taken up', 'settled'])
    expect(again.cellar.whyUnkept(batch)).toBeNull()
    await again.keepHearing(10, { 'Probe.beer': 17 })
    expect(again.cellar.view(batch).heater?.on).toBe(true)
    for (const command of again.door().commands) expect(command.fence).toBeGreaterThan(fence)
    expect(codeOf(() => again.cellar.takeUp(batch, AMBER_ALE, 'Test'))).toBe('not-running')
    // The next start finds it in good order.
    const third = new SmallCellar(again.store, new ManualTime(again.time.now_ms() + 60_000))
    expect(third.troubles).toEqual([])
    expect(third.cellar.view(batch).stage).toBe('Warm finish')
  })

  it('can be stopped instead', async () => {
    const { again, batch } = await damaged(unreadable)
    again.cellar.stop(batch, 'Test')
    expect(again.store.batch(batch)?.ended_ms).toBe(again.time.now_ms())
    expect(again.troubles).toEqual(['not taken up', 'settled'])
    expect(again.cellar.whyUnkept(batch)).toBeNull()
  })
})

describe('a batch whose vessel is not there any more', () => {
  it('has its appliances told off all the same, and is taken up when the vessel is there again', async () => {
    const { again, batch } = await damaged(house => house.store.removeVessel(VESSEL))
    expect(again.cellar.whyUnkept(batch)).toContain('is not there any more')
    expect(again.door().commands.map(({ appliance }) => appliance)).toEqual(['heater', 'cooler'])
    again.addVessel()
    again.cellar.takeUp(batch, undefined, 'Test')
    expect(again.cellar.view(batch).stage).toBe('Warm finish')
  })
})

describe('a batch in whose vessel another one runs', () => {
  it('leaves the appliances to that one', async () => {
    const { again, batch } = await damaged((house, id) => {
      const record = house.store.batch(id)!
      house.store.createBatch({ ...record, id: 'older', started_ms: record.started_ms - 86_400_000 })
    })
    expect(again.cellar.whyUnkept('older')).toContain(batch)
    await again.keepHearing(10, { 'Probe.beer': 17 })
    expect(again.cellar.view(batch).heater?.on).toBe(true)
    const switched = again.door().commands.filter(({ appliance }) => appliance === 'heater')
    expect(switched.at(-1)).toMatchObject({ on: true })
  })
})
