import { expect, test } from 'vitest'
import { fileNameOf } from './file-name.ts'

test.each([
  ['Amber ale with a warm finish', 'amber-ale-with-a-warm-finish'],
  ['Kölsch / Nr. 3', 'kolsch-nr-3'],
  ['../..', 'rehearsal'],
  ['', 'rehearsal'],
])('%j', (name, file) => {
  expect(fileNameOf(name, 'plan')).toBe(`${file}.plan.yaml`)
})
