import { simulateRun } from '@attemper/core/rehearsal/run.ts'
import { madeUpRehearsal } from '@attemper/core/report/testing/made-up-rehearsal.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { expect, test } from 'vitest'
import { mashSetup } from '../rehearsing/testing/mash-setup.ts'
import { type PageContents, pageContentsJson } from './page-contents.ts'

const setup = mashSetup(1)
const input = {
  result: madeUpRehearsal({ seed: 4_294_967_295 }),
  nominal: simulateRun(setup, 0),
  setup,
  units: USUAL_UNITS,
  start: { text: '2026-12-04T18:00', local_s: Date.UTC(2026, 11, 4, 18) / 1000 },
  command: 'attemper rehearse',
  version: '0.1.0',
}

test('a page carries what it shows, with whole numbers whole and the others as exact as they can be seen', () => {
  const contents = JSON.parse(pageContentsJson(input)) as PageContents
  expect(contents.result.seed).toBe(4_294_967_295)
  expect(contents.start).toEqual(input.start)
  expect(contents.hasAppliance).toBe(true)
  expect(contents.result.path.gravity[0]).toBeCloseTo(input.result.path.gravity[0]!, 6)
  expect(contents.nominal.transitions).toHaveLength(setup.plan.stages.length)
  for (const number of pageContentsJson(input).match(/\d+\.\d+/g)!) {
    expect(number.replace(/^0\.0*|\./g, '').length, number).toBeLessThanOrEqual(7)
  }
})
