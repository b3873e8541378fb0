import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { expect, test } from 'vitest'
import { mashSetup } from '../rehearsing/testing/mash-setup.ts'
import { countUntil, runCurves } from './run-curves.ts'

test('a run has lines over all of its time, in the wanted units', () => {
  const setup = mashSetup(1)
  const record = simulateRun(setup, 0)
  const curves = runCurves(record, setup, { ...USUAL_UNITS, temperature: 'F' })
  expect(curves.time_h[0]).toBe(0)
  expect(curves.time_h.at(-1)).toBeCloseTo(((record.trace.beer_C.length - 1) * setup.sample_s) / 3600)
  expect(curves.temperature[0]).toBeCloseTo(record.trace.beer_C[0]! * 1.8 + 32)
  expect(countUntil(curves.time_h, -1)).toBe(0)
  expect(countUntil(curves.time_h, 0)).toBe(1)
  expect(countUntil(curves.time_h, 1e6)).toBe(curves.time_h.length)
})
