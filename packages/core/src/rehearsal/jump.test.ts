import { expect, it } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { compile } from '../engine/compile.ts'
import type { EngineEvent } from '../engine/events.ts'
import { drawFor } from '../random/draw.ts'
import { drawPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { drive } from './drive.ts'
import { type RandomCase, randomCase } from './testing/random-case.ts'

/*
 * Strategy: random plants, plans and faults are run twice, once by the loop that calls the engine at every second (the
 * definition), once by jumping to the moments at which its answer no longer stands.
 * Invariant: the same decisions, with the same data, at the same seconds, and the same end state.
 */

const CASES = 1000

interface Decisions {
  readonly events: readonly EngineEvent[]
  readonly end: string
  readonly calls: number
}

function decide({ vessel, beer, plan, faults, seed, hours }: RandomCase, everySecond: boolean): Decisions {
  const start_s = beer.start.local_s
  const plant = drawPlant(vessel, beer, drawFor(seed, 1))
  const world = new World({ vessel, beer, plant, faults, seed, start_s })
  const events: EngineEvent[] = []
  let calls = 0
  const brewer = {
    answersAt_s: ({ id }: { id: number }, now_s: number) => now_s + 600 + ((id * 977) % 4000),
    answer: ({ id }: { id: number }) => (id % 3 === 0 ? ('not yet' as const) : ('yes' as const)),
  }
  const observer = {
    outcome: (_: number, outcome: { events: readonly EngineEvent[] }) => {
      calls++
      events.push(...outcome.events)
    },
    sample: () => undefined,
  }
  const options = { start_s, end_s: start_s + hours * 3600, sample_s: 1800, everySecond }
  const { state, ended_s } = drive(compile(plan, vessel, beer), world, brewer, observer, options)
  const { channels, now_s: _, ...rest } = state
  const end = JSON.stringify({
    ...rest,
    ended_s,
    trusted: channels.map(({ trusted }) => trusted),
    truth: world.truth,
  })
  return { events, end, calls }
}

it(`decides the same as the every-second loop, at the same seconds, in ${CASES} random cases`, {
  timeout: 900_000,
}, ({ task }) => {
  const seen = new Set<string>()
  let calls = 0
  let seconds = 0
  judge(task, { cases: CASES }, [randomCase], random => {
    const byJumps = decide(random, false)
    const bySeconds = decide(random, true)
    expect(byJumps.events).toEqual(bySeconds.events)
    expect(byJumps.end).toBe(bySeconds.end)
    for (const { kind } of byJumps.events) seen.add(kind)
    calls += byJumps.calls
    seconds += bySeconds.calls
  })
  // The cases are worth running: every kind of decision is made, and the jump saves most of the calls.
  const kinds: readonly EngineEvent['kind'][] = [
    'batch',
    'stage',
    'target reached',
    'asked',
    'answered',
    'late',
    'unknown too long',
    'task',
    'in charge',
    'instrument lost',
    'instrument back',
    'disagree',
    'agree',
    'switched',
    'withheld',
    'thermostat set',
    'limit broken',
    'limit kept',
    'no response',
    'original gravity',
  ]
  expect(kinds.filter(kind => !seen.has(kind))).toEqual([])
  expect(calls).toBeLessThan(seconds / 5)
})
