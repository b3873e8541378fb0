import { expect } from 'vitest'
import { readBeer } from '../../beer/read-beer.ts'
import type { Finding } from '../../finding.ts'
import { readPlan } from '../../plan/read-plan.ts'
import { readVessel } from '../../vessel/read-vessel.ts'
import { proofRead } from '../proof-read.ts'

/**
 * A plan, a vessel and a beer with which nothing is wrong. Each test changes a line or two of them, so that what it finds
 * comes from the change.
 */
export const PLAN = `
plan: Brown ale
limits: { lowest: 0 °C, highest: 24 °C }
stages:
  - stage: Primary
    hold: 18 °C
    until: { gravity: { above final: 8 points } }
    at most: 10 d
    if late: ask
    if unknown: { wait: 12 h, then: ask }
  - stage: Warm finish
    ramp: { to: 20 °C, over: 3 d }
    until: { gravity: { steady within: 1 point, for: 48 h } }
    at most: 14 d
    if late: ask
  - stage: Crash
    ramp: { to: 4 °C, at: 5 °C/d }
    until: { beer: { at most: 4.5 °C } }
    at most: 6 d
    if late: ask
`

export const VESSEL = `
vessel: Pantry fridge
beer: 20 L
heat paths:
  beer to wall: 15 W/°C
  wall stores: 3 kJ/°C
  wall to air: 5 W/°C
  air stores: 9 kJ/°C
  air to room: 1.5 W/°C
room: { average: 16 °C, daily swing: 2 °C, warmest at: "15:00" }
heater:
  power: 40 W
  stores: 0.4 kJ/°C
  to wall: 3 W/°C
  to air: 0.5 W/°C
cooler:
  power: 120 W
  coldest: -20 °C
  stores: 4 kJ/°C
  to air: 8 W/°C
  rests at least: 5 min
  runs at least: 3 min
instruments:
  - instrument: Probe
    every: 5 s
    measures:
      beer: { noise: 0.02 °C, resolution: 0.0625 °C, lag: 60 s }
  - instrument: Float
    every: 30 min
    timeout: 2 h
    measures:
      gravity: { noise: 0.5 points, resolution: 0.1 points }
control: { method: on-off, heat: { start: 0.3 °C, stop: 0 °C }, cool: { start: 0.3 °C, stop: 0 °C } }
interlocks: { changeover: 10 min, command lasts: 15 min }
`

export const BEER = `
beer: Brown ale
original gravity: 1.050
final gravity: 1.012 ± 1 point
starts at: 18 °C
start: 2026-12-04T18:00
yeast:
  name: House ale yeast
  class: ale
  comfort: { lowest: 17 °C, highest: 22 °C }
  attenuation: { lowest: 70 %, highest: 80 % }
  pitch: 0.75
brewer:
  answers within: 3 h
`

export interface Texts {
  readonly plan?: string
  /** null: none is given. */
  readonly vessel?: string | null
  readonly beer?: string | null
}

/** What the proof-reader says of these texts, which have to be readable without any finding. */
export function findingsOf({ plan = PLAN, vessel = VESSEL, beer = BEER }: Texts): readonly Finding[] {
  const read = readPlan(plan, 'plan.yaml')
  const readV = vessel === null ? null : readVessel(vessel, 'vessel.yaml')
  const readB = beer === null ? null : readBeer(beer, 'beer.yaml')
  expect([...read.findings, ...(readV?.findings ?? []), ...(readB?.findings ?? [])]).toEqual([])
  return proofRead({
    plan: read.plan!,
    planFile: 'plan.yaml',
    vessel: readV?.vessel ?? undefined,
    vesselFile: 'vessel.yaml',
    beer: readB?.beer ?? undefined,
    beerFile: 'beer.yaml',
  })
}

/** The findings of one code, as "severity, line of the source that is marked". */
export function marked(code: string, texts: Texts): readonly string[] {
  const sources: Record<string, string> = {
    'plan.yaml': texts.plan ?? PLAN,
    'vessel.yaml': texts.vessel ?? VESSEL,
    'beer.yaml': texts.beer ?? BEER,
  }
  return findingsOf(texts)
    .filter(finding => finding.code === code)
    .map(({ severity, file, line }) => `${severity}: ${sources[file]!.split('\n')[line - 1]!.trim()}`)
}

/** The vessel, with its heater and cooler behind a thermostat. */
export const withThermostat = (thermostat: string, vessel = VESSEL) =>
  change(vessel, ['instruments:', `thermostat: ${thermostat}\ninstruments:`])

/** A text with one part exchanged, which has to be in it exactly once. */
export function change(text: string, ...changes: readonly (readonly [from: string, to: string])[]): string {
  return changes.reduce((now, [from, to]) => {
    expect(now.split(from).length, `"${from}" in the text`).toBe(2)
    return now.replace(from, () => to)
  }, text)
}
