import { expect, it } from 'vitest'
import { compile } from '../engine/compile.ts'
import {
  channel,
  instrument,
  smallBeer,
  smallPlan,
  smallVessel,
  stage,
} from '../engine/testing/small-house.ts'
import { nominalPlant } from '../world/plant.ts'
import { World } from '../world/world.ts'
import { drive } from './drive.ts'

/*
 * The incident: a float that reports every 30 minutes was trusted first, with a timeout of 130 s. Two minutes after each
 * report the controller went over to the second probe, which read a degree and a half lower, and half an hour later back:
 * two changes a report, and heat in between.
 */

const HOUR_S = 3600
const TIMEOUT_S = 130
const TARGET_C = 18
const HYSTERESIS_K = 0.3

const exactly = (value: number) => ({ value, sd: 0 })
const vessel = smallVessel({
  instruments: [
    { ...instrument('Float', 1800, [channel({ quantity: 'beer' })]), timeout_s: TIMEOUT_S },
    instrument('Wall probe', 10, [channel({ quantity: 'beer', bias: exactly(-1.5) })]),
  ],
  trust: { beer: ['Float', 'Wall probe'] },
  room: { ...smallVessel().room, mean_C: exactly(8) },
})
const beer = smallBeer()
const start_s = beer.start.local_s
const end_s = start_s + 48 * HOUR_S
const newWorld = () =>
  new World({
    vessel,
    beer: withoutYeast(),
    plant: nominalPlant(vessel, withoutYeast()),
    faults: [],
    seed: 1,
    start_s,
  })

function withoutYeast() {
  const { yeast: _, ...water } = beer
  return water
}

/** What a controller does that believes the first instrument until its timeout, and again at its next report. */
function naive() {
  const world = newWorld()
  const latest = [null, null] as ({ value: number; at_s: number } | null)[]
  let used = -1
  let changes = 0
  let heats = false
  let fence = 0
  let highest_C = 0
  while (world.now_s < end_s) {
    world.advanceTo(world.now_s + 1)
    const { now_s } = world
    for (const reading of world.readingsAt(now_s)) latest[reading.channel] = reading
    const isFresh = latest[0] !== null && now_s - latest[0]!.at_s < TIMEOUT_S
    const now = isFresh ? 0 : 1
    if (latest[now] === null) continue
    if (now !== used) changes++
    used = now
    const { value } = latest[now]!
    heats = heats ? value < TARGET_C : value <= TARGET_C - HYSTERESIS_K
    world.apply([{ appliance: 'heater', on: heats, until_s: now_s + 60, fence: ++fence }])
    highest_C = Math.max(highest_C, world.truth.beer_C)
  }
  return { changes, highest_C }
}

function ours() {
  const world = newWorld()
  let changes = 0
  let highest_C = 0
  const program = compile(smallPlan([stage({ name: 'Primary' })]), vessel, withoutYeast())
  const observer = {
    outcome: (_: number, { events }: { events: readonly { kind: string }[] }) => {
      changes += events.filter(({ kind }) => kind === 'in charge').length
    },
    sample: () => {
      highest_C = Math.max(highest_C, world.truth.beer_C)
    },
  }
  const brewer = { answersAt_s: () => end_s, answer: () => 'yes' as const }
  drive(program, world, brewer, observer, { start_s, end_s, sample_s: 60, everySecond: false })
  return { changes, highest_C }
}

it('does not flap between a slow float and a fast probe, nor overheat the beer on their difference', () => {
  const flapping = naive()
  expect(flapping.changes).toBeGreaterThan(150)
  expect(flapping.highest_C).toBeGreaterThan(TARGET_C + 1)
  const calm = ours()
  expect(calm.changes).toBeLessThanOrEqual(2)
  expect(calm.highest_C).toBeLessThan(TARGET_C + 1)
})
