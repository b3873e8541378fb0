import { describe, expect, it } from 'vitest'
import { ManualTime } from './testing/manual-time.ts'
import { MemoryStore } from './testing/memory-store.ts'
import { SimulatedVessel } from './testing/simulated-vessel.ts'
import { AMBER_ALE, AMBER_BEER, FRIDGE, SmallCellar } from './testing/small-cellar.ts'

/**
 * Strategy: three simulated days, in which the software is killed at random moments (between the readings, after a command,
 * twice in a row) and stays away for up to 10 min, while the beer goes on fermenting and the leases lapse.
 *
 * Invariants: heater and cooler never run together; the compressor rests 5 min between two runs; stages only go forward,
 * and the plan moves on; fencing numbers only grow; each absence stands in the journal; the beer stays near its target.
 */
const SLICE_S = 10
const REST_S = 300
const LONGEST_AWAY_S = 600
const TIME_S = 3 * 86_400
/** In one of so many steps the software is killed. */
const KILL_ONE_IN = 60

// Chilled in mid-fermentation, no advice to anybody: for a day the compressor hardly stops, so a kill often hits a run.
const PLAN = AMBER_ALE.replace('above final: 10 points', 'above final: 25 points')
  .replace('hold: 18 °C', 'hold: 20 °C')
  .replace(/ {2}- stage: Warm finish[\s\S]*(?= {2}- stage: Crash)/, '')

// Probes that report so rarely are still believed after an absence, and leases as short as these lapse in it: so nothing but
// its rest keeps the compressor from starting again at once.
const SLOW_FRIDGE = FRIDGE.replaceAll('every: 60 s', 'every: 5 min').replace(
  'command lasts: 15 min',
  'command lasts: 4 min',
)

/** Numbers from 0 to 1 (Park and Miller's generator). */
function numbers(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 16_807) % 2_147_483_647
    return state / 2_147_483_647
  }
}

describe('a cellar that is killed again and again', () => {
  it.each([11, 22])('takes its batch up each time, and breaks no interlock (seed %i)', async seed => {
    const random = numbers(seed)
    const texts = { planText: PLAN, vesselText: SLOW_FRIDGE, beerText: AMBER_BEER }
    const simulated = new SimulatedVessel(texts, seed)
    const { start_s, vessel } = simulated
    const store = new MemoryStore()
    let house = new SmallCellar(store, new ManualTime(start_s * 1000))
    house.addVessel(SLOW_FRIDGE)
    await house.cellar.accept(simulated.reports(), 'world')
    const batch = house.start({ ...texts, vessel: vessel.name })

    let kills = 0
    let wasOn = false
    let stopped_s = Number.NEGATIVE_INFINITY
    const fences: number[] = []
    let stage = 0
    const look = () => {
      const { heater, cooler } = simulated.world.truth
      expect(heater.on && cooler.on).toBe(false)
      if (cooler.on && !wasOn) expect(simulated.now_s - stopped_s).toBeGreaterThanOrEqual(REST_S - SLICE_S)
      if (!cooler.on && wasOn) stopped_s = simulated.now_s
      wasOn = cooler.on
    }
    const obey = () => {
      const commands = house.door(vessel.name).take()
      fences.push(...commands.map(({ fence }) => fence))
      simulated.obey(commands)
      look()
    }
    obey()

    while (simulated.now_s < start_s + TIME_S) {
      if (random() < 1 / KILL_ONE_IN) {
        kills++
        const back_s = simulated.now_s + Math.ceil(random() * LONGEST_AWAY_S)
        while (simulated.now_s < back_s) {
          simulated.world.advanceTo(Math.min(back_s, simulated.now_s + SLICE_S))
          look()
        }
        house = new SmallCellar(store, new ManualTime(back_s * 1000))
        obey()
        const { state } = house.cellar.view(batch)
        expect(state.stage).toBe(stage)
      }
      simulated.moveOn(house.time.next_ms / 1000)
      house.time.standAt(simulated.now_s * 1000)
      // Sometimes the software dies after it has stored the readings, before it has told the batch of them.
      if (random() < 1 / KILL_ONE_IN) await store.addReadings(simulated.reports())
      else await house.cellar.accept(simulated.reports(), 'world')
      house.time.moveTo(simulated.now_s * 1000)
      obey()
      const { state, beer_C, target_C } = house.cellar.view(batch)
      expect(state.stage).toBeGreaterThanOrEqual(stage)
      ;({ stage } = state)
      // After the first hours, in which 18 °C becomes 20 °C.
      if (stage === 0 && simulated.now_s > start_s + 86_400 && beer_C !== null)
        expect(Math.abs(beer_C - target_C!)).toBeLessThan(1.5)
    }
    expect(house.troubles).toEqual([])
    expect(kills).toBeGreaterThan(10)
    expect(stage).toBe(1)
    expect(fences).toEqual(fences.toSorted((a, b) => a - b))
    expect(new Set(fences).size).toBe(fences.length)
    const journal = store.journal(batch)
    expect(journal.filter(entry => entry.kind === 'edit' && entry.edit.kind === 'restarted')).toHaveLength(
      kills,
    )
    expect(journal.filter(({ kind }) => kind === 'gap').length).toBeGreaterThan(kills / 2)
    expect(journal.filter(entry => entry.kind === 'decision' && entry.event.kind === 'stage')).toHaveLength(2)
  })
})
