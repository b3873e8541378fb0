import { expect, test } from 'vitest'
import { USUAL_UNITS } from '../units/display.ts'
import { stagesInText } from './stages-in-text.ts'

const TEXT = `plan: Ale
stages:
  - stage: Primary
    hold: 18 °C
    until: { stage lasted: 9 d }
  - stage: Crash
    ramp: { to: 2 °C, at: 1 °C/h }
    until:
      stage lasted: 3 d
`

test('each stage has its lines and its sentences', () => {
  expect(stagesInText(TEXT, USUAL_UNITS)).toMatchObject([
    {
      name: 'Primary',
      firstLine: 3,
      lastLine: 5,
      sentences: ['Hold the beer at 18 °C until the stage has lasted at least 9 days. Then go on to Crash.'],
    },
    { name: 'Crash', firstLine: 6, lastLine: 9 },
  ])
})

test('a fault in one stage leaves the others as they are', () => {
  const [first, second] = stagesInText(TEXT.replace('18 °C', '18'), USUAL_UNITS)!
  expect(first).toMatchObject({ name: 'Primary', stage: null, sentences: [] })
  expect(second!.stage?.name).toBe('Crash')
  expect(second!.sentences[0]).toMatch(/^Bring the beer to 2 °C at 1 °C an hour/)
})

test('a text without stages has none', () => {
  for (const text of ['', 'plan: A', 'stages: {}', 'stages: [', 'plan: A\nstages: 3'])
    expect(stagesInText(text, USUAL_UNITS)).toBeNull()
  expect(stagesInText('stages: [ 3, { stage: A } ]', USUAL_UNITS)).toMatchObject([{ name: 'A', index: 1 }])
})
