import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { readBeer } from '../beer/read-beer.ts'
import type { Finding } from '../finding.ts'
import { READER_CODES, type ReaderCode } from '../source-text/finding-codes.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { readPlan } from './read-plan.ts'

/**
 * Every code of the readers, tripped by a text in which the faulty part stands between « and », so that the place of
 * the finding is checked to the letter. Other findings may come along; the marked one must be there.
 */
type Case = readonly [ReaderCode, 'plan' | 'vessel' | 'beer', string]

const STAGE = '- stage: One\n    hold: 18 °C\n    until: { stage lasted: 3 d }'
const plan = (stages: string, head = '') => `plan: Test\n${head}stages:\n  ${stages}\n`
const stage = (keys: string) => plan(`- stage: One\n    hold: 18 °C\n    ${keys}`)
const until = (condition: string) => stage(`until: ${condition}`)
const vessel = (more: string, instruments = '- { instrument: Probe, every: 5 s, measures: { beer: {} } }') =>
  `vessel: Test\nbeer: 20 L\nroom: { average: 18 °C }\n${more}\ninstruments:\n  ${instruments}\n`
const beer = (more: string) => `beer: Test\n${more}\n`

const CASES: readonly Case[] = [
  ['not-text', 'plan', 'plan: T«\u0000»est'],
  ['not-text', 'plan', 'plan: W«\uFFFD»rme'],
  ['yaml-syntax', 'plan', `plan: Test\nstages: [ 1${'«\n»'}`],
  ['yaml-syntax', 'plan', 'plan: «T»est: more\nstages: 1'],
  ['yaml-syntax', 'plan', 'plan: Test\n«---»\nplan: Test\n'],
  ['too-deep', 'plan', `plan: ${'['.repeat(160)}«[»${'['.repeat(3000)}`],
  ['too-many', 'plan', plan(`- ${STAGE.slice(2)}\n    tasks: «[${'a, '.repeat(60)}b]»`)],
  ['unknown-alias', 'plan', until('«*first»')],
  ['wrong-type', 'plan', '«3 words»'],
  ['wrong-type', 'plan', '«- stage: One»\n'],
  ['wrong-type', 'plan', 'plan: Test\nstages: «none»'],
  ['wrong-type', 'plan', stage('at most: «[ 3 d ]»')],
  ['wrong-type', 'plan', stage('? «[ 1 ]»\n    : 3 d')],
  ['duplicate-key', 'plan', stage('until: { stage lasted: 3 d }\n    «until»: { stage lasted: 4 d }')],
  ['unknown-key', 'plan', stage('«untill»: { stage lasted: 3 d }')],
  ['unknown-key', 'plan', `plan: Test\n«limts»: { highest: 24 °C }\nstages:\n  ${STAGE}`],
  ['unknown-key', 'plan', until('{ «gravty»: { at most: 1.012 } }')],
  ['unknown-key', 'plan', until('{ gravity: { «abuve final»: 10 points } }')],
  ['unknown-key', 'vessel', vessel('heater: { power: 30 W, «to wal»: 3 W/°C }')],
  ['unknown-key', 'beer', beer('«OG»: 1.050')],
  ['missing-key', 'plan', '«plan: Test»\n'],
  ['missing-key', 'plan', plan('- stage: «One»\n    until: { stage lasted: 3 d }')],
  ['missing-key', 'plan', until('«{ lasting: 3 h }»')],
  ['missing-key', 'plan', until('{ gravity: { «steady within»: 1 point } }')],
  ['missing-key', 'plan', until('{ gravity: { at most: 1.012, «for»: 48 h } }')],
  ['missing-key', 'plan', until('{ gravity: { at most: 1.012, «over»: 48 h } }')],
  ['missing-key', 'plan', until('{ gravity: «{}» }')],
  ['missing-key', 'plan', plan('- stage: One\n    ramp: «{ to: 21 °C }»')],
  ['missing-key', 'vessel', vessel('', '- { instrument: Probe, every: 5 s, measures: «{}» }')],
  ['conflicting-keys', 'plan', plan('- stage: One\n    ramp: { to: 21 °C, over: 3 d, «at»: 1 °C/h }')],
  ['conflicting-keys', 'plan', plan('- stage: One\n    hold: 18 °C\n    «boil»: 70 %')],
  ['conflicting-keys', 'plan', until('{ stage lasted: 3 d, «since pitch»: 10 d }')],
  ['conflicting-keys', 'plan', stage('if unknown: { wait: 3 h, then: ask, «use»: { stage lasted: 3 d } }')],
  ['conflicting-keys', 'vessel', vessel('heat paths: { «wall to room»: 4 W/°C, air to room: 1 W/°C }')],
  ['missing-value', 'plan', plan('- stage: One\n    hold: «»')],
  ['missing-value', 'plan', 'plan: Test\nstages: «[]»'],
  ['missing-value', 'plan', '«»'],
  ['not-a-number', 'plan', plan('- stage: One\n    hold: «warm»')],
  ['not-a-number', 'plan', until('{ pH: { at most: «.nan» } }')],
  ['decimal-comma', 'plan', plan('- stage: One\n    hold: «18,5» °C')],
  ['decimal-comma', 'plan', `plan: Test\nlimits: { highest: 24,«5 °C» }\nstages:\n  ${STAGE}`],
  ['missing-unit', 'plan', plan('- stage: One\n    hold: «18»')],
  ['missing-unit', 'plan', plan('- stage: One\n    hold: "«18»"')],
  ['misspelt-unit', 'plan', until('{ gravity: { above final: 10 «pionts» } }')],
  [
    'misspelt-unit',
    'plan',
    until(
      '\n      all:\n        - stage lasted: 3 d\n        - gravity: { steady within: "1  «piont»", for: 2 d }',
    ),
  ],
  ['misspelt-unit', 'vessel', vessel('heater: { power: 30 W ± 2 «watz» }')],
  ['wrong-unit', 'plan', plan('- stage: One\n    hold: 18 «h»')],
  ['wrong-unit', 'plan', plan('- stage: One\n    boil: «98 °C»')],
  ['negative', 'plan', stage('at most: «-3 d»')],
  ['negative', 'plan', plan('- stage: One\n    ramp: { to: 2 °C, at: «-1 °C/h» }')],
  ['negative', 'vessel', vessel('heater: { power: «-30 W» }')],
  ['out-of-range', 'plan', plan('- stage: One\n    hold: «180 °C»')],
  ['out-of-range', 'plan', until('{ gravity: { at most: «1012» } }')],
  ['out-of-range', 'beer', beer('original gravity: «50»')],
  ['out-of-range', 'plan', stage('at most: «0 d»')],
  ['calendar-duration', 'plan', stage('at most: «P1M»')],
  ['calendar-duration', 'plan', stage('at most: 2 «months»')],
  ['bad-duration', 'plan', stage('at most: 12 h 1 «d»')],
  ['bad-date', 'plan', until('{ date: { from: «2026-02-30T18:00» } }')],
  ['bad-time-of-day', 'plan', until('{ time of day: { from: "08:00", to: "«25:00»" } }')],
  ['not-a-choice', 'plan', stage('at most: 3 d\n    if late: «go onn»')],
  ['not-a-choice', 'plan', plan('- stage: One\n    leave alone: «false»')],
  ['not-a-choice', 'beer', beer('original gravity: 1.05\nbrewer: { away at weekends: «perhaps» }')],
  ['bad-name', 'plan', plan('- stage: «finish»\n    hold: 18 °C')],
  ['bad-name', 'plan', plan(`- stage: «${'long '.repeat(40)}name»\n    hold: 18 °C`)],
  ['reversed-range', 'plan', `plan: Test\nlimits: { lowest: «24 °C», highest: 0 °C }\nstages:\n  ${STAGE}`],
  ['reversed-range', 'plan', plan('- stage: One\n    free rise: { to: 20 °C, not below: «20 °C» }')],
  ['reversed-range', 'plan', until('{ beer: { «at least»: 20 °C, at most: 18 °C } }')],
  [
    'reversed-range',
    'beer',
    beer('original gravity: 1.05\nyeast: { class: ale, comfort: «{ lowest: 22 °C, highest: 17 °C }» }'),
  ],
  [
    'reversed-range',
    'vessel',
    vessel('', '- { instrument: P, every: 5 s, measures: { beer: { lowest: «9 °C», highest: 5 °C } } }'),
  ],
  ['reversed-hysteresis', 'plan', stage('control: { heat: «{ start: 0.1 °C, stop: 0.3 °C }» }')],
  ['reversed-hysteresis', 'vessel', vessel('control: «{ heat: { stop: 0.5 °C } }»')],
  ['out-of-range', 'vessel', vessel('').replace('18 °C', '«180 °C»')],
  ['duplicate-stage', 'plan', plan(`${STAGE}\n  - stage: «One»\n    hold: 20 °C`)],
  ['unknown-stage', 'plan', stage('then: «Too»')],
  ['unknown-stage', 'plan', stage('at most: 3 d\n    if late: { go to: «Two» }')],
  ['unknown-stage', 'plan', stage('branches: [ { when: { since pitch: 3 d }, go to: «Two» } ]')],
  ['duplicate-task', 'plan', stage('tasks: [ Add hops, «Add hops» ]')],
  ['unknown-task', 'plan', until('{ done: «Add hops» }')],
  ['no-effect', 'plan', stage('«if late»: ask')],
  ['no-effect', 'plan', stage('«if unknown»: { wait: 3 h }')],
  [
    'duplicate-instrument',
    'vessel',
    vessel(
      '',
      '- { instrument: P, every: 5 s, measures: { beer: } }\n  - { instrument: «P», every: 5 s, measures: { air: } }',
    ),
  ],
  ['duplicate-instrument', 'vessel', vessel('trust: { beer: [Probe, «Probe»] }')],
  ['unknown-instrument', 'vessel', vessel('trust: { beer: [«Prob»] }')],
  ['unknown-instrument', 'vessel', vessel('trust: { gravity: [«Probe»] }')],
  [
    'no-instrument',
    'vessel',
    `«${vessel('', '- { instrument: P, every: 5 s, measures: { air: {} } }').replace('\n', '»\n')}`,
  ],
  ['no-heat-path', 'vessel', vessel('heater: «{ power: 30 W, to air: 3 W/°C }»')],
  ['no-heat-path', 'vessel', vessel('heat paths: { wall to room: 4 W/°C }\ncooler: «{ power: 90 W }»')],
  ['final-above-original', 'beer', beer('original gravity: 1.010\nfinal gravity: «1.050»')],
]

const read: Readonly<Record<Case[1], (text: string) => { readonly findings: readonly Finding[] }>> = {
  plan: text => readPlan(text, 'test.yaml'),
  vessel: text => readVessel(text, 'test.yaml'),
  beer: text => readBeer(text, 'test.yaml'),
}

test.each(CASES)('%s in a %s: %s', (code, what, marked) => {
  const from = marked.indexOf('«')
  const to = marked.indexOf('»') - 1
  const text = marked.replace('«', '').replace('»', '')
  const { findings } = read[what](text)
  const before = text.slice(0, from)
  const line = before.split('\n').length
  const expected = {
    code,
    line,
    column: from - before.lastIndexOf('\n'),
    length: Math.max(1, to - from),
    file: 'test.yaml',
  }
  expect(findings).toContainEqual(expect.objectContaining(expected))
})

test('each code has a case', () => {
  // Two cases are too large to be written out; they follow below.
  const written = new Set<string>([
    ...CASES.map(([code]) => code),
    'too-large',
    'too-many-aliases',
    'too-many-findings',
  ])
  expect(Object.keys(READER_CODES).filter(code => !written.has(code))).toEqual([])
})

test('each code is explained in one sentence', () => {
  for (const sentence of Object.values(READER_CODES)) expect(sentence).toMatch(/^[A-Z`].{20,}\.$/)
})

test('a plan of 10 MB is refused at once', () => {
  const text = `plan: Test\nstages:\n${'  - { stage: One, hold: 18 °C }\n'.repeat(320_000)}`
  expect(text.length).toBeGreaterThan(10_000_000)
  const begin = performance.now()
  const { plan: none, findings } = readPlan(text, 'big.yaml')
  expect(performance.now() - begin).toBeLessThan(500)
  expect(none).toBeNull()
  expect(findings).toMatchObject([{ code: 'too-large', line: 1, column: 1 }])
})

test('a text of more entries than can be meant is refused at once', () => {
  const begin = performance.now()
  const { findings } = readPlan(`plan: Test\n${'a: 1\n'.repeat(100_000)}`, 'long.yaml')
  expect(performance.now() - begin).toBeLessThan(2000)
  expect(findings).toMatchObject([{ code: 'too-many', line: 8572 }])
})

test('an alias bomb is refused at once', () => {
  const lines = ['a0: &a0 [x, x, x, x, x, x, x, x, x, x]']
  for (let i = 1; i < 12; i++)
    lines.push(
      `a${i}: &a${i} [${Array(10)
        .fill(`*a${i - 1}`)
        .join(', ')}]`,
    )
  const begin = performance.now()
  const { findings } = readPlan(`${lines.join('\n')}\n`, 'bomb.yaml')
  expect(performance.now() - begin).toBeLessThan(500)
  expect(findings).toMatchObject([{ code: 'too-many-aliases', line: 2, column: 55, length: 3 }])
})

test('an anchor that holds itself ends', () => {
  const { findings } = readPlan('plan: &a [ *a ]\nstages: *a\n', 'loop.yaml')
  expect(findings.map(finding => finding.code)).toContain('too-deep')
})

test('one anchor may be used in several places', () => {
  const text = `plan: Test
stages:
  - stage: One
    hold: 18 °C
    until: &days { stage lasted: 3 d }
  - stage: Two
    hold: 20 °C
    until: *days
`
  const { plan: read, findings } = readPlan(text, 'anchor.yaml')
  expect(findings).toEqual([])
  expect(read?.stages[1]?.until).toMatchObject({ kind: 'elapsed', atLeast_s: 259200 })
})

test('a hundred findings are enough', () => {
  const { findings } = readPlan(plan(Array(150).fill('- stage: One\n    hold: 18').join('\n  ')), 'many.yaml')
  expect(findings).toHaveLength(101)
  expect(findings.at(-1)).toMatchObject({ code: 'too-many-findings', severity: 'note' })
})

test('all findings are collected, in the order of the text', () => {
  const text = plan(
    '- stage: One\n    hold: 18\n    until: { stage lasted: 3 dais }\n    then: Two\n    frist: 1',
  )
  const { findings } = readPlan(text, 'many.yaml')
  expect(findings.map(({ code, line, column }) => [code, line, column])).toEqual([
    ['missing-unit', 4, 11],
    ['misspelt-unit', 5, 30],
    ['unknown-stage', 6, 11],
    ['unknown-key', 7, 5],
  ])
})

test('a misspelt key that must be there is reported once', () => {
  const { findings } = readPlan(`plan: Test\nstagse:\n  ${STAGE}\n`, 'key.yaml')
  expect(findings).toMatchObject([{ code: 'unknown-key', line: 2, cure: 'Did you mean “stages”?' }])
})

test('a key that is indented too far is told to go back', () => {
  const text = stage('until:\n      stage lasted: 3 d\n      at most: 4 d')
  expect(readPlan(text, 'deep.yaml').findings).toMatchObject([
    { code: 'unknown-key', line: 7, column: 7, cure: expect.stringContaining('Indent it less') },
  ])
})

test.each([
  [until('{ stage lasted 3 d }'), 5, 'Put a colon and a space behind “stage lasted”.'],
  [until('{ gravity: { at most: 1.012 }'), 5, 'Add the missing }'],
  [stage('ask first: "really'), 5, 'Add the missing quotation mark.'],
  [
    plan('- stage: One\n    hold: 18 °C\n   until: { stage lasted: 3 d }'),
    5,
    'Indent it by 4 spaces, like line 4.',
  ],
  ['plan: Test\nstages:\n\t- stage: One\n', 3, 'with spaces, not with tabs'],
  [stage('ask first: @home'), 5, 'into quotation marks'],
])('the cure for %s', (text, line, cure) => {
  const [first] = readPlan(text, 'cure.yaml').findings
  expect(first).toMatchObject({ line, cure: expect.stringContaining(cure) })
})

test('places are right with Windows line ends, a byte order mark and letters outside the basic plane', () => {
  const text = '\uFEFFplan: "🍺 Bière"\r\nstages:\r\n  - stage: 🍺\r\n    hold: 18 °\r\n'
  const { findings } = readPlan(text, 'bom.yaml')
  expect(findings).toMatchObject([{ code: 'misspelt-unit', line: 4, column: 14, length: 1 }])
})

test('a value with escapes is marked as a whole', () => {
  const text = plan('- stage: One\n    hold: "18\\u0020h"')
  expect(readPlan(text, 'escape.yaml').findings).toMatchObject([
    { code: 'wrong-unit', line: 4, column: 11, length: 11 },
  ])
})

test('JSON is a plan too', () => {
  const text =
    '{ "plan": "Test", "stages": [ { "stage": "One", "leave alone": true, "until": { "stage lasted": "3 d" } } ] }'
  const { plan: read, findings } = readPlan(text, 'plan.json')
  expect(findings).toEqual([])
  expect(read?.stages[0]).toMatchObject({ name: 'One', course: { kind: 'leave alone' } })
})

test('an ordinary plan is read in a few milliseconds', () => {
  const text = readFileSync(new URL('../../../../examples/lager.plan.yaml', import.meta.url), 'utf8')
  // The fastest of many, because the machine may be busy with other tests.
  let fastest = Number.POSITIVE_INFINITY
  for (let i = 0; i < 40; i++) {
    const begin = performance.now()
    readPlan(text, 'lager.plan.yaml')
    fastest = Math.min(fastest, performance.now() - begin)
  }
  expect(fastest).toBeLessThan(10)
})
