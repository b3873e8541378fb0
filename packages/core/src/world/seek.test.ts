import { expect, test } from 'vitest'
import type { Command, ReadingInput } from '../engine/contract.ts'
import { type Draw, drawFor } from '../random/draw.ts'
import { listChannels } from '../vessel/channels.ts'
import type { Thermostat, Vessel } from '../vessel/vessel.ts'
import type { Fault } from './faults/fault.ts'
import { drawPlant } from './plant.ts'
import type { WorldSetup } from './setup.ts'
import { Naive } from './testing/naive.ts'
import { ale, bucket, fridge, kettle, mash, START_s } from './testing/vessels.ts'
import { World } from './world.ts'

const CASES = 150
const CALLS = 25

/**
 * The jump is exact: for random plants, faults, bounds and commands, `seek` stops at the very second at which a loop over
 * all seconds and all readings would, with the same readings at hand and the same world to the last bit.
 */
test('the jump stops where a loop over every second stops', () => {
  const reasons = new Set<string>()
  for (let run = 0; run < CASES; run++) compare(run, reasons)
  expect([...reasons].sort()).toEqual(['controller', 'limit', 'reading or silence', 'until'])
})

function compare(run: number, reasons: Set<string>): void {
  const draw = drawFor(20261124, run)
  const setup = randomSetup(draw, run)
  const channels = listChannels(setup.vessel).length
  const jumping = new World(setup)
  const looping = new World(setup)
  const remembers = Array.from({ length: channels }, () => draw.uniform() < 0.3)
  const naive = new Naive(looping, channels, remembers)
  let fence = 0
  for (let call = 0; call < CALLS; call++) {
    const where = `run ${run}, call ${call}`
    const limit_s = jumping.now_s + 1 + Math.floor(4000 * draw.uniform())
    const stands = { ...randomStands(draw, jumping, channels), remembers }
    const down = jumping.controllerDown
    const stopped_s = jumping.seek(stands, limit_s)
    expect(stopped_s, where).toBe(naive.seek(stands, limit_s))
    expect(jumping.truth, where).toEqual(looping.truth)
    expect(jumping.readingsAt(stopped_s), where).toEqual(looping.readingsAt(stopped_s))
    expect(jumping.skipped().toSorted(byTime), where).toEqual(naive.skipped().toSorted(byTime))
    if (jumping.controllerDown !== down) reasons.add('controller')
    else if (stopped_s === limit_s) reasons.add('limit')
    else if (stopped_s >= stands.until_s) reasons.add('until')
    else reasons.add('reading or silence')
    if (jumping.controllerDown || draw.uniform() < 0.2) continue
    const commands = randomCommands(draw, stopped_s, ++fence, jumping.truth.beer_C)
    jumping.apply(commands)
    looping.apply(commands)
    naive.called()
    expect(jumping.truth, where).toEqual(looping.truth)
  }
}

const byTime = (a: ReadingInput, b: ReadingInput) => a.at_s - b.at_s || a.channel - b.channel

function randomSetup(draw: Draw, run: number): WorldSetup {
  const pick = Math.floor(4 * draw.uniform())
  const vessel = [bucket(), kettle(), fridge(), fridge()][pick]!
  const busy = {
    ...vessel,
    ...(draw.uniform() < 0.4 ? { thermostat: randomThermostat(draw, vessel) } : {}),
    heater: { ...vessel.heater!, lostCommands: 0.1 },
    instruments: vessel.instruments.map(instrument => ({
      ...instrument,
      every_s: instrument.byHand ? 3000 : Math.max(1, Math.ceil(instrument.every_s * draw.uniform() ** 2)),
      outages: { perDay: draw.uniform() < 0.3 ? 50 : 0, length_s: 500 },
    })),
  }
  const beer = pick === 1 ? mash(90) : ale()
  return {
    vessel: busy,
    beer,
    plant: drawPlant(busy, beer, draw),
    faults: randomFaults(draw),
    seed: draw.seed(),
    start_s: START_s,
    kineticsStep_s: run % 5 === 0 ? 60 : 300,
  }
}

function randomThermostat(draw: Draw, vessel: Vessel): Thermostat {
  return {
    follows: vessel.heat.cabinet && draw.uniform() < 0.5 ? 'air' : 'beer',
    hysteresis_K: 0.1 + draw.uniform(),
    lowest_C: 2,
    highest_C: 80,
    resolution_K: 0.1,
    whenUnheard: draw.uniform() < 0.5 ? 'off' : 'keeps its target',
    bias: { value: 0, sd: 0.5 },
    lag_s: 300 * draw.uniform(),
    lostCommands: 0.1,
    place: vessel.place,
  }
}

function randomFaults(draw: Draw): Fault[] {
  const faults: Fault[] = []
  const count = Math.floor(5 * draw.uniform())
  for (let n = 0; n < count; n++) {
    const from_s = START_s + Math.floor(20_000 * draw.uniform())
    const to_s = from_s + 1 + Math.floor(8000 * draw.uniform() ** 2)
    const kinds: Fault[] = [
      { kind: 'instrument silent', instrument: 'Probe', from_s, to_s },
      { kind: 'instrument slow', instrument: 'Probe', every_s: 700, from_s, to_s },
      { kind: 'channel stuck', channel: Math.floor(2 * draw.uniform()), from_s, to_s },
      { kind: 'thermometer displaced', instrument: 'Probe', into: 'air', from_s, to_s },
      { kind: 'thermostat displaced', into: 'room', from_s, to_s },
      { kind: 'heater welded', from_s, to_s },
      { kind: 'heater dead', from_s, to_s },
      { kind: 'cooler welded', from_s, to_s },
      { kind: 'cooler dead', from_s, to_s },
      { kind: 'network cut', from_s, to_s },
      { kind: 'power cut', from_s, to_s },
      { kind: 'controller down', from_s, to_s },
      { kind: 'room warmer', by_K: 8, from_s, to_s },
      { kind: 'door open', factor: 20, from_s, to_s },
      { kind: 'float not in wort', instrument: 'Float', from_s, to_s },
      { kind: 'fermentation stuck', atShare: 0.4, from_s, to_s },
      { kind: 'fermentation speed', factor: 3, from_s, to_s },
      { kind: 'final gravity', offset_SG: 0.004, from_s, to_s },
    ]
    faults.push(kinds[Math.floor(kinds.length * draw.uniform())]!)
  }
  return faults
}

/** Bounds near what the channels read now, so that some readings leave them soon and some late. */
function randomStands(draw: Draw, world: World, channels: number) {
  const { truth } = world
  const lower: number[] = []
  const upper: number[] = []
  const silence_s: number[] = []
  for (let channel = 0; channel < channels; channel++) {
    const gravity = channels > 2 && (channel === 2 || channel === 4)
    const middle = gravity ? truth.gravity_SG : channel === 1 ? truth.air_C : truth.beer_C
    const width = (gravity ? 0.004 : 1) * (0.1 + draw.exponential())
    const kind = draw.uniform()
    lower.push(kind < 0.4 ? Number.NEGATIVE_INFINITY : kind < 0.42 ? middle + 5 : middle - width)
    upper.push(kind > 0.3 && kind < 0.4 ? Number.POSITIVE_INFINITY : middle + width)
    silence_s.push(draw.uniform() < 0.4 ? Number.POSITIVE_INFINITY : 1 + 600 * draw.exponential())
  }
  const until_s = draw.uniform() < 0.4 ? Number.POSITIVE_INFINITY : world.now_s + 3000 * draw.uniform()
  return { until_s, lower, upper, silence_s }
}

function randomCommands(draw: Draw, now_s: number, fence: number, beer_C: number): Command[] {
  const commands: Command[] = []
  for (const appliance of ['heater', 'cooler'] as const) {
    if (draw.uniform() < 0.3) continue
    const until_s = now_s + Math.floor(2000 * draw.uniform())
    const late = draw.uniform() < 0.1 ? 3 : 0
    commands.push({ appliance, on: draw.uniform() < 0.5, until_s, fence: fence - late })
  }
  if (draw.uniform() < 0.7) {
    const target_C = draw.uniform() < 0.1 ? null : beer_C + 2 * draw.normal()
    const until_s = now_s + Math.floor(2000 * draw.uniform())
    commands.push({ appliance: 'thermostat', target_C, until_s, fence })
  }
  return commands
}
