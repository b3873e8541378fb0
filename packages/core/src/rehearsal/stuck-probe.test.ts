import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import type { EngineEvent } from '../engine/events.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { drive } from './drive.ts'
import { simulateRun } from './run.ts'
import { prepare } from './setup.ts'

/*
 * Batches of the examples with displays of several steps, with and without noise: without a fault nobody is told that a probe is
 * stuck; with one that is, somebody is, in time.
 */

const example = (name: string) =>
  readFileSync(new URL(`../../../../examples/${name}.yaml`, import.meta.url), 'utf8')

function setupWith(files: readonly [string, string, string], resolution: number, noise: number) {
  const [plan, vesselName, beer] = files
  const read = readVessel(example(vesselName), 'vessel').vessel!
  const vessel: Vessel = {
    ...read,
    instruments: read.instruments.map(instrument => ({
      ...instrument,
      channels: instrument.channels.map(each =>
        each.quantity === 'beer' || each.quantity === 'air' ? { ...each, resolution, noise } : each,
      ),
    })),
  }
  return prepare(readPlan(example(plan), 'plan').plan!, vessel, readBeer(example(beer), 'beer').beer!, {
    seed: 1,
  })
}

const ALE = ['amber-ale.plan', 'garage-fridge.vessel', 'amber-ale.beer'] as const
const LAGER = ['lager.plan', 'jacketed-tank.vessel', 'lager.beer'] as const
const RUNS = [0, 1, 2, 3]

it.each([ALE, LAGER].flatMap(files => [0.0625, 0.1, 0.5].map(step => [files[0], step, files] as const)))(
  '%s with a display of %d °C: no false alarm, with and without noise',
  (_, step, files) => {
    let days = 0
    for (const noise of [0, 0.03]) {
      const setup = setupWith(files, step, noise)
      for (const run of RUNS) {
        const { events, ended_s } = simulateRun(setup, run, [], { keepEvents: true })
        days += ended_s / 86_400
        expect(events!.filter(({ kind }) => kind === 'stuck')).toEqual([])
      }
    }
    expect(days).toBeGreaterThan(60)
  },
)

it('a probe that is stuck from its third day on is noticed within three days, in every run', () => {
  const setup = setupWith(ALE, 0.0625, 0.03)
  const { start_s, program } = setup
  const number = program.quantities[program.beer]!.trust[0]!
  const from_s = start_s + 2 * 86_400
  let noticed = 0
  for (const run of RUNS) {
    const fault = { kind: 'channel stuck', channel: number, from_s, to_s: Number.POSITIVE_INFINITY } as const
    const { events } = simulateRun(setup, run, [fault], { keepEvents: true })
    const first = events!.find(
      ({ kind, at_s }) =>
        at_s > from_s && ['stuck', 'no response', 'disagree', 'limit broken'].includes(kind),
    )
    expect(first?.at_s).toBeLessThan(from_s + 3 * 86_400)
    noticed++
  }
  expect(noticed).toBe(RUNS.length)
})

it.each([0.0625, 0.5])(
  'with a display of %d °C, jumping notices at the same second as a call at every second',
  step => {
    const setup = setupWith(ALE, step, 0.03)
    const { vessel, beer, program, start_s } = setup
    const number = program.quantities[program.beer]!.trust[0]!
    const stuck = {
      kind: 'channel stuck',
      channel: number,
      from_s: start_s + 40_000,
      to_s: start_s + 330_000,
    } as const
    const decide = (everySecond: boolean) => {
      const plant = nominalPlant(vessel, beer)
      const world = new World({ vessel, beer, plant, faults: [stuck], seed: 1, start_s })
      const events: EngineEvent[] = []
      const observer = {
        outcome: (_: number, outcome: { readonly events: readonly EngineEvent[] }) =>
          events.push(...outcome.events),
        sample: () => undefined,
      }
      const brewer = {
        answersAt_s: (_: unknown, asked_s: number) => asked_s + 3600,
        answer: () => 'yes' as const,
      }
      const options = { start_s, end_s: start_s + 400_000, sample_s: 1800, everySecond }
      const { state } = drive(program, world, brewer, observer, options)
      const still = state.channels.map(({ still, stuckSince_s }) => [still, stuckSince_s])
      return { events, still, looked_s: state.lookedAt_s }
    }
    const byJumps = decide(false)
    expect(byJumps).toEqual(decide(true))
    if (step < 0.1) {
      const kinds = byJumps.events.map(({ kind }) => kind)
      expect(kinds.filter(kind => kind === 'stuck' || kind === 'moves again')).toEqual([
        'stuck',
        'moves again',
      ])
    }
  },
)
