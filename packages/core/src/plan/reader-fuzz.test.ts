import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../../../test/judge-all.ts'
import { readBeer } from '../beer/read-beer.ts'
import type { Finding } from '../finding.ts'
import { READER_CODES } from '../source-text/finding-codes.ts'
import { readVessel } from '../vessel/read-vessel.ts'
import { readPlan } from './read-plan.ts'

/** Whatever the text: never an exception, never a hang, always a result or an error with a place inside the text. */

const EXAMPLES = new URL('../../../../examples/', import.meta.url)
const texts = readdirSync(EXAMPLES)
  .filter(name => name.endsWith('.yaml'))
  .map(name => readFileSync(new URL(name, EXAMPLES), 'utf8'))

const READERS: readonly ((text: string) => {
  readonly value: unknown
  readonly findings: readonly Finding[]
})[] = [
  text => {
    const { plan, findings } = readPlan(text, 'fuzz.yaml')
    return { value: plan, findings }
  },
  text => {
    const { vessel, findings } = readVessel(text, 'fuzz.yaml')
    return { value: vessel, findings }
  },
  text => {
    const { beer, findings } = readBeer(text, 'fuzz.yaml')
    return { value: beer, findings }
  },
]

function checkAll(text: string) {
  const lines = text.split('\n')
  for (const read of READERS) {
    const { value, findings } = read(text)
    expect(value === null).toBe(findings.some(finding => finding.severity === 'error'))
    for (const finding of findings) {
      const { line, column, length, code, message, cure } = finding
      expect(Object.keys(READER_CODES)).toContain(code)
      expect(line).toBeGreaterThanOrEqual(1)
      expect(line).toBeLessThanOrEqual(lines.length)
      expect(column).toBeGreaterThanOrEqual(1)
      expect(length).toBeGreaterThanOrEqual(1)
      expect(column - 1 + length).toBeLessThanOrEqual(Math.max(column, lines[line - 1]!.length))
      expect(column - 1).toBeLessThanOrEqual(lines[line - 1]!.length)
      for (const sentence of [message, cure]) {
        expect(sentence.length).toBeLessThan(1500)
        expect(sentence).not.toMatch(/undefined|NaN|\[object/)
      }
    }
  }
}

const WORDS = [
  'plan:',
  'stages:',
  '- stage: One',
  'hold: 18 °C',
  'until:',
  'all:',
  '[',
  ']',
  '{',
  '}',
  '{ beer: { at most: 2 °C } }',
  ': ',
  '- ',
  '\n',
  '\n  ',
  '\n    ',
  '"',
  "'",
  '*a',
  '&a',
  '!!map',
  '!x',
  '|',
  '>',
  '%YAML 1.2\n---\n',
  '---',
  '...',
  '#',
  ',',
  '± ',
  '<<: ',
  '? ',
  '\t',
  '\r',
  '\u0000',
  '\uFEFF',
  '\uFFFD',
  '@',
  '`',
  '.nan',
  '1e999',
  'vessel:',
  'beer:',
  'instruments:',
  'measures:',
  'gravity:',
  '__proto__:',
  'constructor:',
  'toString:',
  'hasOwnProperty:',
] as const

const SPLICE = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  drop: fc.nat(30),
  put: fc.oneof(fc.constantFrom(...WORDS), fc.string({ maxLength: 10 })),
})

const TREE = fc.letrec(tie => ({
  tree: fc.oneof(
    { maxDepth: 6, withCrossShrink: true },
    fc.constantFrom(
      '18 °C',
      '3 d',
      '1.012',
      'ask',
      'One',
      'true',
      '',
      '10 points',
      '.inf',
      '-1',
      '1 W/°C',
      '75 %',
    ),
    fc.string({ maxLength: 12 }),
    fc.array(tie('tree'), { maxLength: 4 }),
    fc.dictionary(
      fc.oneof(
        fc.constantFrom(
          'plan',
          'stages',
          'stage',
          'hold',
          'ramp',
          'to',
          'over',
          'until',
          'all',
          'any',
          'not',
          'gravity',
          'at most',
          'boil',
          'above final',
          'if late',
          'go to',
          'if unknown',
          'wait',
          'use',
          'tasks',
          'task',
          'when',
          'branches',
          'control',
          'heat',
          'start',
          'vessel',
          'beer',
          'room',
          'average',
          'instruments',
          'instrument',
          'every',
          'measures',
          'noise',
          'trust',
          'heater',
          'power',
          'cooler',
          'yeast',
          'class',
          'brewer',
          'asleep',
          'from',
          '__proto__',
          'lasting',
          'date',
        ),
        fc.string({ maxLength: 6 }),
      ),
      tie('tree'),
      { maxKeys: 6 },
    ),
  ),
})).tree

describe('the readers never throw', () => {
  test('on any string', ({ task }) => {
    judge(task, { cases: 400 }, [fc.string({ maxLength: 150, unit: 'binary' })], checkAll)
  })

  test('on words of the language in any order', ({ task }) => {
    const text = fc.array(fc.oneof(fc.constantFrom(...WORDS), fc.string({ maxLength: 4 })), { maxLength: 40 })
    judge(task, { cases: 600 }, [text], parts => checkAll(parts.join('')))
  })

  test('on the examples with parts cut out and others put in', ({ task }) => {
    judge(
      task,
      { cases: 300 },
      [fc.constantFrom(...texts), fc.array(SPLICE, { minLength: 1, maxLength: 4 })],
      (text, splices) => {
        let broken = text
        for (const { at, drop, put } of splices) {
          const from = Math.floor(at * broken.length)
          broken = broken.slice(0, from) + put + broken.slice(from + drop)
        }
        checkAll(broken)
      },
    )
  })

  test('on the examples cut off anywhere', () => {
    for (const text of texts) for (let end = 0; end < text.length; end += 41) checkAll(text.slice(0, end))
  })

  test('on any tree of keys and values', ({ task }) => {
    judge(task, { cases: 300 }, [TREE], tree => checkAll(JSON.stringify(tree)))
  })

  test.each([
    ['brackets', '['.repeat(500_000)],
    ['brackets in pairs', '[]'.repeat(300_000)],
    ['braces with keys', '{a: '.repeat(100_000)],
    ['dashes', '- '.repeat(300_000)],
    ['questions', '? '.repeat(300_000)],
    ['colons', 'a: '.repeat(200_000)],
    ['ever deeper keys', Array.from({ length: 1000 }, (_, i) => `${' '.repeat(i)}a:\n`).join('')],
    ['ever deeper lists', Array.from({ length: 1000 }, (_, i) => `${' '.repeat(i)}-\n`).join('')],
    ['many keys', Array.from({ length: 60_000 }, (_, i) => `key${i}: 1\n`).join('')],
    ['the same key', 'plan: 1\n'.repeat(100_000)],
    ['many short items', `stages: [${'1, '.repeat(300_000)}1]`],
    ['one long line', `plan: ${'x'.repeat(900_000)}`],
    ['one long quoted line', `plan: "${'\\n'.repeat(400_000)}"`],
    ['many lines folded into one', `plan: >\n${' a\n'.repeat(300_000)}`],
    ['quotation marks', '"'.repeat(900_000)],
    ['comments', '# a\n'.repeat(240_000)],
    ['anchors', '&a '.repeat(300_000)],
    ['tags', '!a '.repeat(300_000)],
    ['documents', '---\n'.repeat(240_000)],
    ['tabs', '\t'.repeat(900_000)],
    ['spaces', ' '.repeat(900_000)],
    ['line ends', '\n'.repeat(900_000)],
    ['carriage returns', '\r'.repeat(900_000)],
    ['directives', '%A\n'.repeat(300_000)],
    ['plus and minus', `vessel: a\nbeer: 2${'0 L ± 1'.repeat(100_000)}`],
    ['digits', `vessel: a\nbeer: ${'9'.repeat(900_000)}`],
    ['a long duration', `plan: a\nstages: [ { stage: a, hold: 1 °C, at most: ${'1 d '.repeat(200_000)} } ]`],
    ['a long unit', `plan: a\nstages: [ { stage: a, hold: 1 ${'deg '.repeat(200_000)} } ]`],
  ])('on a megabyte of %s, within seconds', (_, text) => {
    expect(text.length).toBeLessThan(1_000_000)
    const begin = performance.now()
    const { findings } = readPlan(text, 'fuzz.yaml')
    expect(performance.now() - begin).toBeLessThan(5_000)
    expect(findings.some(finding => finding.severity === 'error')).toBe(true)
  })
})
