import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { describe, expect, test } from 'vitest'
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
})
