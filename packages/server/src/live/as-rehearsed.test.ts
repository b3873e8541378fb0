import type { EngineEvent, Question } from '@attemper/core/engine/events.ts'
import { answersAt_s } from '@attemper/core/rehearsal/brewer.ts'
import { NOMINAL_RUN, simulateRun } from '@attemper/core/rehearsal/run.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { describe, expect, it } from 'vitest'
import { ManualTime } from './testing/manual-time.ts'
import { MemoryStore } from './testing/memory-store.ts'
import { SimulatedVessel, type Texts } from './testing/simulated-vessel.ts'
import { AMBER_ALE, AMBER_BEER, example, FRIDGE, SmallCellar } from './testing/small-cellar.ts'

const SEED = 7

const ALE: Texts = { planText: AMBER_ALE, vesselText: FRIDGE, beerText: AMBER_BEER }
const ALE_BY_FLOAT: Texts = { ...ALE, beerText: `${AMBER_BEER}\noriginal gravity from: float\n` }
const ALE_IN_TANK: Texts = {
  ...ALE,
  vesselText: example('jacketed-tank.vessel.yaml').replaceAll('every: 30 s', 'every: 60 s'),
}
const MASH: Texts = {
  planText: example('step-mash.plan.yaml'),
  vesselText: example('electric-kettle.vessel.yaml'),
  beerText: example('mash.beer.yaml'),
}

function rehearse(texts: Texts): readonly EngineEvent[] {
  const { plan, vessel, beer } = new SimulatedVessel(texts, SEED)
  return simulateRun(prepare(plan, vessel, beer, { seed: SEED }), NOMINAL_RUN, [], { keepEvents: true })
    .events!
}

/** Runs the plan on a cellar, with the brewer of the nominal rehearsal. */
async function runLive(texts: Texts): Promise<readonly EngineEvent[]> {
  const simulated = new SimulatedVessel(texts, SEED)
  const { vessel, beer, start_s } = simulated
  const house = new SmallCellar(new MemoryStore(), new ManualTime(start_s * 1000))
  const events: EngineEvent[] = []
  let appointments: { question: Question; at_s: number }[] = []
  let seen = 0
  let isComplete = false

  const obey = () => {
    simulated.obey(house.door(vessel.name).take())
    for (const entry of house.cellar.log(batch, seen, 1000)) {
      seen = entry.number
      if (entry.kind !== 'decision') continue
      const { event } = entry
      events.push(event)
      if (event.kind === 'batch' && event.to === 'complete') isComplete = true
      if (event.kind !== 'asked') continue
      const { question } = event
      const at_s = Math.ceil(answersAt_s(beer.brewer, simulated.now_s, null, question.id))
      appointments.push({ question, at_s })
    }
  }

  house.addVessel(texts.vesselText)
  await house.cellar.accept(simulated.reports(), 'world')
  const batch = house.start({ ...texts, vessel: vessel.name })
  obey()
  while (!isComplete) {
    simulated.moveOn(Math.min(house.time.next_ms / 1000, ...appointments.map(({ at_s }) => at_s)))
    const { now_s } = simulated
    house.time.standAt(now_s * 1000)
    // In a rehearsal one call hears both, and the answer comes before what is switched.
    for (const { question } of appointments.filter(({ at_s }) => at_s <= now_s)) {
      house.cellar.answer(batch, question.id, 'yes', 'Test')
    }
    await house.cellar.accept(simulated.reports(), 'world')
    appointments = appointments.filter(({ at_s }) => at_s > now_s)
    house.time.moveTo(now_s * 1000)
    obey()
  }
  // A mash that is complete is over; a complete fermentation is kept at its last target until it is stopped.
  expect(house.store.batch(batch)!.ended_ms !== null).toBe(texts === MASH)
  return events
}

describe('a plan run live makes the same decisions at the same seconds as in the nominal rehearsal', () => {
  it.each([
    ['an ale, switched on and off', ALE, 3],
    ['an ale whose original gravity is taken from the float', ALE_BY_FLOAT, 3],
    ['an ale, left to a thermostat', ALE_IN_TANK, 3],
    ['a mash, in proportioned time', MASH, 6],
  ] as const)('%s', async (_, texts, stages) => {
    const rehearsed = rehearse(texts)
    const live = await runLive(texts)
    const transitions = (events: readonly EngineEvent[]) => events.filter(({ kind }) => kind === 'stage')
    expect(transitions(live)).toHaveLength(stages)
    expect(transitions(live)).toEqual(transitions(rehearsed))
    expect(live).toEqual(rehearsed)
    const taken = live.filter(event => event.kind === 'original gravity')
    expect(taken.map(({ from }) => from)).toEqual(texts === ALE_BY_FLOAT ? ['float'] : [])
  })
})
