import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Stands } from '@attemper/core/engine/contract.ts'
import type { EngineEvent, Question } from '@attemper/core/engine/events.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { runSeed } from '@attemper/core/random/draw.ts'
import { answersAt_s } from '@attemper/core/rehearsal/brewer.ts'
import { NOMINAL_RUN, simulateRun } from '@attemper/core/rehearsal/run.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { nominalPlant } from '@attemper/core/world/plant.ts'
import { World } from '@attemper/core/world/world.ts'
import { describe, expect, it } from 'vitest'
import {
  AMBER_ALE,
  AMBER_BEER,
  FRIDGE,
  type SmallCellar,
  START_S,
  smallCellar,
  VESSEL,
} from './testing/small-cellar.ts'

const SEED = 7
const vessel = readVessel(FRIDGE, 'vessel').vessel!
const beer = readBeer(AMBER_BEER, 'beer').beer!
const plan = readPlan(AMBER_ALE, 'plan').plan!
const channels = listChannels(vessel)

/** Stops at each reading. */
const EACH_READING: Stands = {
  until_s: Number.POSITIVE_INFINITY,
  lower: channels.map(() => Number.POSITIVE_INFINITY),
  upper: channels.map(() => Number.NEGATIVE_INFINITY),
  silence_s: channels.map(() => Number.POSITIVE_INFINITY),
}

/** Runs the plan on the cellar: the simulated vessel hands in every reading, and obeys what comes out of the door. */
async function runLive(house: SmallCellar): Promise<readonly EngineEvent[]> {
  const world = new World({
    vessel,
    beer,
    plant: nominalPlant(vessel, beer),
    faults: [],
    seed: runSeed(SEED, NOMINAL_RUN),
    start_s: START_S,
  })
  const events: EngineEvent[] = []
  const appointments: { question: Question; at_s: number }[] = []
  let seen = 0

  const handIn = () =>
    house.cellar.accept(
      world.readingsAt(world.now_s).map(({ channel, value, at_s }) => ({
        vessel: VESSEL,
        instrument: channels[channel]!.instrument.name,
        quantity: channels[channel]!.channel.quantity,
        value,
        at_ms: at_s * 1000,
        status: 'good' as const,
      })),
      'world',
    )
  const obey = () => {
    world.apply(house.door().take())
    for (const entry of house.cellar.log(batch, seen, 1000)) {
      seen = entry.number
      if (entry.kind !== 'decision') continue
      events.push(entry.event)
      if (entry.event.kind !== 'asked') continue
      const { question } = entry.event
      appointments.push({
        question,
        at_s: Math.ceil(answersAt_s(beer.brewer, world.now_s, null, question.id)),
      })
    }
  }

  house.addVessel()
  await handIn()
  const batch = house.start()
  obey()
  while (house.cellar.view(batch).state.batch !== 'complete') {
    const due_s = Math.min(house.time.next_ms / 1000, ...appointments.map(({ at_s }) => at_s))
    world.seek(EACH_READING, Math.max(world.now_s + 1, due_s))
    house.time.standAt(world.now_s * 1000)
    await handIn()
    for (const { question } of appointments.filter(({ at_s }) => at_s <= world.now_s)) {
      house.cellar.answer(batch, question.id, 'yes', 'Test')
    }
    appointments.splice(0, appointments.length, ...appointments.filter(({ at_s }) => at_s > world.now_s))
    house.time.moveTo(world.now_s * 1000)
    obey()
  }
  return events
}

describe('a plan run live', () => {
  it('makes the same decisions at the same seconds as in the nominal rehearsal', async () => {
    const rehearsed = simulateRun(prepare(plan, vessel, beer, { seed: SEED }), NOMINAL_RUN, [], {
      keepEvents: true,
    })
    const live = await runLive(smallCellar())
    const transitions = (events: readonly EngineEvent[]) =>
      events
        .filter(({ kind }) => kind !== 'switched' && kind !== 'withheld')
        .map(event => ({ kind: event.kind, at_s: event.at_s, stage: 'stage' in event ? event.stage : '' }))
    expect(transitions(live).filter(({ kind }) => kind === 'stage')).toHaveLength(3)
    expect(transitions(live)).toEqual(transitions(rehearsed.events!))
    expect(live).toEqual(rehearsed.events)
  })
})
