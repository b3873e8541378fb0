import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { ReadingInput } from '@attemper/core/engine/contract.ts'
import type { EngineEvent } from '@attemper/core/engine/events.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { replay } from '@attemper/core/rehearsal/replay.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { describe, expect, it } from 'vitest'

/*
 * The main job on real input: what would a plan of today have done with these beers? Records and their sources:
 * test/published/data/recorded/README.md. The gravities were read by hand about once a day; temperatures are missing in
 * most, so the plan has to do without.
 */

const HOUR_S = 3600
const recorded = (name: string) =>
  fileURLToPath(new URL(`../published/data/recorded/${name}.csv`, import.meta.url))
const example = (name: string) =>
  readFileSync(fileURLToPath(new URL(`../../examples/${name}`, import.meta.url)), 'utf8')

const VESSEL = `
vessel: Old square
beer: 1000 L
heat paths: { beer to wall: 100 W/°C, wall stores: 100 kJ/°C, wall to room: 50 W/°C }
room: { average: 12 °C }
instruments:
  - instrument: Saccharometer
    by hand: true
    every: 2 d
    measures: { gravity: { noise: 1 point } }
  - instrument: Thermometer
    by hand: true
    every: 2 d
    measures: { beer: { noise: 0.5 °C } }
`

const beerText = (original: number, final: number, yeast: 'ale' | 'lager') => `
beer: From the record
original gravity: ${original}
final gravity: ${final} ± 4 points
starts at: 12 °C
start: 1880-01-05T08:00
yeast: { class: ${yeast}, comfort: { lowest: 5 °C, highest: 20 °C }, attenuation: { lowest: 50 %, highest: 80 % } }
`

/** Gravity (channel 0) and temperature (channel 1) of a record, hours from its first line. */
function readRecord(name: string, start_s: number): ReadingInput[] {
  const [header, ...lines] = readFileSync(recorded(name), 'utf8').trim().split('\n')
  const columns = header!.split(',')
  const [time, temperature, gravity] = ['time_h', 'temperature_C', 'gravity'].map(each =>
    columns.indexOf(each),
  )
  return lines.flatMap(line => {
    const cells = line.split(',')
    const at_s = start_s + Number(cells[time!]) * HOUR_S
    const cell = (column: number, channel: number) =>
      cells[column] === '' ? [] : [{ channel, value: Number(cells[column]), at_s }]
    return [...cell(gravity!, 0), ...cell(temperature!, 1)]
  })
}

function decide(record: string, planText: string, beer: string, answers: 'yes' | 'never' = 'yes') {
  const plan = readPlan(planText, 'plan')
  const vessel = readVessel(VESSEL, 'vessel')
  const read = readBeer(beer, 'beer')
  expect(
    [...plan.findings, ...vessel.findings, ...read.findings].filter(({ severity }) => severity === 'error'),
  ).toEqual([])
  const setup = prepare(plan.plan!, vessel.vessel!, read.beer!, { seed: 1 })
  const readings = readRecord(record, setup.start_s)
  const end_s = readings.at(-1)!.at_s
  const { events, state } = replay(setup, readings, { start_s: setup.start_s, end_s, answers })
  const hours = (event: EngineEvent) => (event.at_s - setup.start_s) / HOUR_S
  const began = (stage: string) => {
    const event = events.find(each => each.kind === 'stage' && each.stage === stage)
    return event ? hours(event) : null
  }
  const left = (stage: string) => {
    const event = events.find(each => each.kind === 'stage' && each.from === stage)
    return event ? hours(event) : null
  }
  return { events, state, began, left, hours, stage: setup.program.stages[state.stage]!.name }
}

const AMBER = example('amber-ale.plan.yaml')
const LAGER = example('lager.plan.yaml')

describe('the cool, sluggish ale of 1829', () => {
  const { began, events, hours, stage } = decide('sduk1829-scotch-ale', AMBER, beerText(1.116, 1.036, 'ale'))

  it('is not taken for finished: the brewer is asked after ten days, and warms it', () => {
    const late = events.find(event => event.kind === 'late')!
    expect(hours(late)).toBeCloseTo(240, 0)
    expect(began('Warm finish')).toBeGreaterThan(240)
    expect(began('Warm finish')).toBeLessThan(264)
  })

  it('is never chilled while the record lasts', () => {
    expect(began('Crash')).toBeNull()
    expect(stage).toBe('Warm finish')
  })
})

describe('the lager worts of 1878', () => {
  it('the cold one is still in its primary after twelve days, unfinished as the record says', () => {
    const { left } = decide('pedersen1878-cold-still', LAGER, beerText(1.0526, 1.013, 'lager'))
    expect(left('Primary')).toBeNull()
  })

  it('the warm, aerated one is warmed for its rest when it comes within five points of its end', () => {
    const { left } = decide('pedersen1878-warm-a', LAGER, beerText(1.0534, 1.013, 'lager'))
    expect(left('Primary')).toBeGreaterThanOrEqual(72)
    expect(left('Primary')).toBeLessThanOrEqual(97)
  })

  it('the covered one, slower, is not', () => {
    const { left } = decide('pedersen1878-warm-c', LAGER, beerText(1.0534, 1.013, 'lager'))
    expect(left('Primary')).toBeNull()
  })
})

describe('the vessel of 1864 whose reading rises again by souring', () => {
  const beer = beerText(1.0522, 1.019, 'ale')

  it('moves on by its gravity, is ready while it is steady, before it sours', () => {
    const { began, hours, events } = decide('haecker1864-pitched', AMBER, beer)
    expect(began('Warm finish')).toBe(60)
    const asked = events.find(event => event.kind === 'asked' && event.question.about === 'go on')!
    expect(hours(asked)).toBe(180)
  })

  it('is the record that the README replays', () => {
    const record = readFileSync(recorded('haecker1864-pitched'), 'utf8')
    expect(example('recorded/small-trial-1864.csv')).toBe(record)
  })

  it('is not called steady any more once it has soured, if nobody has answered by then', () => {
    const plan = `
plan: Wait for a steady gravity
stages:
  - stage: Wait
    hold: 18 °C
    until: { all: [ { gravity: { steady within: 0.5 points, for: 96 h } }, { since pitch: 330 h } ] }
    at most: 28 d
    if late: ask
`
    const { state, events, hours } = decide('haecker1864-pitched', plan, beer, 'never')
    expect(state.batch).toBe('running')
    const late = events.find(event => event.kind === 'late')!
    expect(hours(late)).toBeCloseTo(28 * 24, 0)
    expect(events.some(event => event.kind === 'stage' && event.from !== null)).toBe(false)
  })
})

describe('the pomace wine of 1860 that stuck at 9.5 per cent', () => {
  it('is steady, far above its end: the plan asks because of the gravity, and does not move on by itself', () => {
    const { stage, events } = decide('anthon1860-pomace-crude', AMBER, beerText(1.0874, 1.01, 'ale'), 'never')
    expect(stage).toBe('Primary')
    expect(events.some(event => event.kind === 'asked' && event.question.about === 'late')).toBe(true)
  })
})
