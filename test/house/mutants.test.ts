import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { linesIn } from '../../scripts/mutants/changed-lines.ts'
import { type Equivalent, faultsOfList } from '../../scripts/mutants/equivalent.ts'
import { EQUIVALENT_MUTANTS } from '../../scripts/mutants/equivalent-mutants.ts'
import { HAND_MADE } from '../../scripts/mutants/hand-made-mutations.ts'
import { type Mutant, mutantsIn } from '../../scripts/mutants/mutant.ts'
import { printTallies, survivors, tally } from '../../scripts/mutants/tally.ts'

const ROOT = join(import.meta.dirname, '../..')

const source = 'function warm(beer_C) {\n  return beer_C >= 18 &&\n    isOn\n}\n'
const report = {
  files: {
    'a/warm.ts': {
      source,
      mutants: [
        {
          mutatorName: 'EqualityOperator',
          replacement: 'beer_C > 18',
          status: 'Killed',
          location: { start: { line: 2, column: 10 }, end: { line: 2, column: 22 } },
        },
        {
          mutatorName: 'ConditionalExpression',
          replacement: 'true',
          status: 'Survived',
          location: { start: { line: 2, column: 10 }, end: { line: 3, column: 9 } },
        },
        {
          mutatorName: 'BlockStatement',
          replacement: '{}',
          status: 'CompileError',
          location: { start: { line: 1, column: 23 }, end: { line: 4, column: 2 } },
        },
      ],
    },
  },
}

const entry: Equivalent = {
  file: 'a/warm.ts',
  text: 'return beer_C >= 18 &&',
  mutation: 'beer_C >= 18 && isOn -> true',
  why: 'Nobody asks.',
}

describe('mutants', () => {
  test('are read from the report with their line and what was changed; what cannot be loaded does not count', () => {
    const expected: readonly Mutant[] = [
      {
        file: 'a/warm.ts',
        line: 2,
        text: entry.text,
        mutation: 'beer_C >= 18 -> beer_C > 18',
        fate: 'killed',
      },
      { file: 'a/warm.ts', line: 2, text: entry.text, mutation: entry.mutation, fate: 'survived' },
    ]
    expect(mutantsIn(report)).toEqual(expected)
  })

  test('that are listed as equivalent do not count as survivors', () => {
    const mutants = mutantsIn(report)
    expect(tally('a', mutants, [])).toMatchObject({ killed: 1, survived: 1, equivalent: 0, share: 0.5 })
    expect(tally('a', mutants, [entry])).toMatchObject({ killed: 1, survived: 0, equivalent: 1, share: 1 })
    expect(survivors(mutants, [entry])).toEqual([])
    expect(printTallies([tally('a', mutants, [])])).toContain('50.0 %')
  })

  test('an entry of the list that fits nothing, or that a test kills, is a fault; in files that were left out it is not', () => {
    const mutants = mutantsIn(report)
    expect(faultsOfList([entry], mutants, ['a/warm.ts'])).toEqual([])
    const gone = { ...entry, text: 'return beer_C >= 19 &&' }
    expect(faultsOfList([gone], mutants, ['a/warm.ts'])).toHaveLength(1)
    expect(faultsOfList([gone], mutants, [])).toEqual([])
    const killed = { ...entry, mutation: 'beer_C >= 18 -> beer_C > 18' }
    expect(faultsOfList([killed], mutants, ['a/warm.ts'])).toHaveLength(1)
  })

  test('changed lines are read from a difference, without what was only removed', () => {
    const diff = [
      'diff --git a/x.ts b/x.ts',
      '--- a/x.ts',
      '+++ b/x.ts',
      '@@ -3 +3,2 @@ function',
      '-old',
      '+new',
      '+new',
      '@@ -9,2 +10,0 @@',
      '-gone',
      '-gone',
      '@@ -20 +19 @@',
      '+one',
    ].join('\n')
    expect([...linesIn(diff)]).toEqual([
      [
        'x.ts',
        [
          { first: 3, last: 4 },
          { first: 19, last: 19 },
        ],
      ],
    ])
  })
})

describe('the lists', () => {
  const textOf = (file: string) => readFileSync(join(ROOT, file), 'utf8')

  test('each equivalent mutant stands on a line that is there, and says why', () => {
    for (const { file, text, why } of EQUIVALENT_MUTANTS) {
      expect([
        file,
        textOf(file)
          .split('\n')
          .some(line => line.trim() === text)
          ? text
          : 'missing',
      ]).toEqual([file, text])
      expect(why).toMatch(/^[A-Z“'].{15,}\.$/)
    }
  })

  test('each fault made by hand has its text once, changes it, and names tests that are there', () => {
    for (const { name, file, from, to, tests } of HAND_MADE) {
      expect([name, textOf(file).split(from).length - 1]).toEqual([name, 1])
      expect(from).not.toBe(to)
      for (const path of tests) expect([path, existsSync(join(ROOT, path))]).toEqual([path, true])
    }
  })
})
