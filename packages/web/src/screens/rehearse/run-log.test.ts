import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { describe, expect, test } from 'vitest'
import { countUntil, runCurves } from '../../pictures/run-curves.ts'
import { transitionsOf } from '../../pictures/transitions.ts'
import { mashSetup } from '../../rehearsing/testing/mash-setup.ts'
import { runLog } from './run-log.ts'

const setup = mashSetup(1)
const record = simulateRun(setup, 0, [], { keepEvents: true })

describe('a run that is shown', () => {
  test('has a log in the order of time, without switchings, with the stages and with what is noted', () => {
    const lines = runLog(record, setup, USUAL_UNITS, [{ at_h: 1, sentence: 'Here the fault is put in.' }])
    const text = lines.map(({ sentence }) => sentence)
    expect(lines.map(({ at_h }) => at_h)).toEqual(lines.map(({ at_h }) => at_h).toSorted((a, b) => a - b))
    expect(text).toContain('Here the fault is put in.')
    for (const { name } of setup.plan.stages)
      expect(
        text.some(sentence => sentence.includes(name)),
        name,
      ).toBe(true)
    expect(lines.length).toBeLessThan(record.events!.length)
  })

  test('has lines over all of its time, in the wanted units', () => {
    const curves = runCurves(record, setup, { ...USUAL_UNITS, temperature: 'F' })
    expect(curves.time_h[0]).toBe(0)
    expect(curves.time_h.at(-1)).toBeCloseTo(((record.trace.beer_C.length - 1) * setup.sample_s) / 3600)
    expect(curves.temperature[0]).toBeCloseTo(record.trace.beer_C[0]! * 1.8 + 32)
    expect(countUntil(curves.time_h, -1)).toBe(0)
    expect(countUntil(curves.time_h, 0)).toBe(1)
    expect(countUntil(curves.time_h, 1e6)).toBe(curves.time_h.length)
  })

  test('has a transition for each stage that it entered', () => {
    const transitions = transitionsOf(record, setup)
    expect(transitions.map(({ stage }) => stage)).toEqual(setup.plan.stages.map(({ name }) => name))
    expect(transitions[1]!.beer_C).toBeGreaterThan(50)
  })
})
