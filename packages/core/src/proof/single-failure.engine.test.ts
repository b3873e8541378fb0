import { describe, expect, test } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import { compile } from '../engine/compile.ts'
import type { EngineEvent } from '../engine/events.ts'
import { Conversation } from '../engine/testing/conversation.ts'
import { readPlan } from '../plan/read-plan.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { singleFailureProof } from './single-failure.ts'
import { BEER, change, VESSEL } from './testing/cases.ts'

/**
 * The proof against the engine itself: an instrument falls silent just after the batch has begun, and the beer never does
 * what the stage waits for. What the proof promises within a time has to happen by then; where it says that the stage
 * waits for ever, nothing may happen.
 */
const HOUR_S = 3600
const STEP_S = 600

const vessel = readVessel(change(VESSEL, ['every: 5 s', 'every: 10 min']), 'vessel').vessel!
const beer = readBeer(BEER, 'beer').beer!

const UNTILS = [
  'gravity: { at most: 1.020 }',
  'beer: { at least: 19 °C }',
  'all: [ { gravity: { at most: 1.020 } }, { stage lasted: 5 h } ]',
  'any: [ { gravity: { at most: 1.020 } }, { beer: { at least: 19 °C } } ]',
  'any: [ { gravity: { at most: 1.020 } }, { stage lasted: 9 h } ]',
  'not: { gravity: { at least: 1.020 } }',
  'all: [ { gravity: { at most: 1.020 } }, { not: { stage lasted: 5 h } } ]',
  'gravity: { steady within: 0.1 points, for: 6 h }',
]
const REST = [
  '',
  'at most: 12 h\n    if late: ask',
  'at most: 12 h\n    if late: go on',
  'at most: 12 h\n    if late: hold',
  'if unknown: { wait: 3 h, then: ask }',
  'if unknown: { wait: 3 h, then: hold }',
  'if unknown: { wait: 3 h, use: { stage lasted: 8 h } }',
  'if unknown: { wait: 3 h, use: { gravity: { at most: 1.030 } } }',
  'branches: [ { when: { stage lasted: 10 h }, go to: Rest } ]',
  'branches: [ { when: { gravity: { at most: 1.030 } }, go to: Rest } ]',
  'at most: 12 h\n    if late: go on\n    tasks: [ { task: Taste, wait: true, when: { gravity: { at most: 1.030 } } } ]',
]

/** Somebody is asked, or the batch is held with an alarm. A note in the log is neither. */
function isAnswered(event: EngineEvent): boolean {
  if (event.kind === 'late' || event.kind === 'unknown too long') return event.response === 'hold'
  return event.kind === 'asked'
}

/** When the engine first asks, raises an alarm or leaves the stage; null: not within two days. */
function firstAnswer_s(planText: string, silent: string): number | null {
  const { plan, findings } = readPlan(planText, 'plan')
  expect(findings).toEqual([])
  const talk = new Conversation(compile(plan!, vessel, beer))
  const readings = (time_s: number): Record<string, number> => ({
    'Probe.beer': 18,
    // It falls a little, so that it is never steady.
    ...(time_s % 1800 === 0 ? { 'Float.gravity': 1.045 - (time_s / HOUR_S) * 0.0001 } : {}),
  })
  talk.start(readings(0))
  for (let time_s = STEP_S; time_s <= 48 * HOUR_S; time_s += STEP_S) {
    const heard = Object.entries(readings(time_s)).filter(([name]) => !name.startsWith(silent))
    talk.tell(STEP_S, Object.fromEntries(heard))
    const moved = talk.events.find(
      event => isAnswered(event) || (event.kind === 'stage' && event.from !== null),
    )
    if (moved) return moved.at_s - talk.start_s
  }
  return null
}

describe.each(UNTILS)('until %s', until => {
  test.each(REST)('%s', rest => {
    const planText = `
plan: Trial
stages:
  - stage: Trial
    hold: 18 °C
    until: { ${until} }
    ${rest}
  - stage: Rest
    hold: 18 °C
    until: { stage lasted: 90 d }
`
    const rows = singleFailureProof(readPlan(planText, 'plan').plan!, vessel, beer)
    for (const { instrument, outcome, via, bounded, within_s } of rows.slice(0, 2)) {
      const said_s = firstAnswer_s(planText, instrument!)
      const what = `${instrument}: ${outcome} via ${via} within ${within_s}, engine after ${said_s}`
      if (via === 'beer temperature lost') continue
      // A second for each transition that has to be looked at in the next step (IEC 60848).
      if (bounded) expect(said_s !== null && said_s <= within_s! + 60, what).toBe(true)
      // The beer never does anything here, so that nothing but time could help.
      if (outcome === 'waits for ever') expect(said_s, what).toBeNull()
    }
  })
})
