import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import {
  addStage,
  addTask,
  duplicateStage,
  moveStage,
  removeFromStage,
  removeStage,
  removeTask,
  renameStage,
  renameTask,
  replaceInStage,
  setInStage,
} from './edit-plan.ts'
import { readPlan } from './read-plan.ts'

const EXAMPLES = new URL('../../../../examples/', import.meta.url)
const PLANS = readdirSync(EXAMPLES)
  .filter(name => name.endsWith('.plan.yaml'))
  .map(name => [name, readFileSync(new URL(name, EXAMPLES), 'utf8')] as const)

const TEXT = `# For the winter.
plan: Lager
stages:
  # Slowly, slowly.
  - stage: Primary
    hold: 10 °C # in the cellar
    until: { gravity: { above final: 5 points } }
    then: Rest
    branches:
      - { when: { since pitch: 9 d }, go to: Wake up }
  - stage: Wake up
    ramp: { to: 14 °C, over: 1 d }
    until: { any: [ { stage lasted: 3 d }, { done: Rouse } ] }
    tasks: [ Rouse ]
    at most: 9 d
    if late: { go to: "Rest" }
  - stage: Rest
    hold: 16 °C
    until: { stage lasted: 2 d }
`

function namesOf(text: string | null): readonly string[] | undefined {
  return readPlan(text ?? '', 'plan').plan?.stages.map(({ name }) => name)
}

function comments(text: string): readonly string[] {
  return text
    .split('\n')
    .flatMap(line => /(?:^|\s)#.*/.exec(line)?.[0].trim() ?? [])
    .toSorted()
}

describe.each(PLANS)('the stages of %s', (_, text) => {
  const names = namesOf(text)!

  test('each can be moved to each place, and back: nothing is lost, no comment and no line', () => {
    for (const from of names.keys())
      for (const to of names.keys()) {
        const moved = moveStage(text, from, to)!
        expect(namesOf(moved)).toEqual(names.toSpliced(from, 1).toSpliced(to, 0, names[from]!))
        expect(moved.split('\n').toSorted()).toEqual(text.split('\n').toSorted())
        expect(moveStage(moved, to, from)).toBe(text)
      }
  })

  test('each can be renamed, and back', () => {
    for (const [index, name] of names.entries()) {
      const renamed = renameStage(text, index, 'Quite: another, [name]')!
      expect(namesOf(renamed)).toEqual(names.with(index, 'Quite: another, [name]'))
      expect(comments(renamed)).toEqual(comments(text))
      expect(readPlan(renameStage(renamed, index, name)!, 'plan').plan?.stages.map(unplaced)).toEqual(
        readPlan(text, 'plan').plan!.stages.map(unplaced),
      )
    }
  })

  test('each can be duplicated, without findings, and the copy taken out', () => {
    for (const index of names.keys()) {
      const copied = duplicateStage(text, index)!
      expect(readPlan(copied, 'plan').findings).toEqual([])
      expect(namesOf(copied)).toHaveLength(names.length + 1)
      expect(removeStage(copied, index + 1)).toBe(text)
    }
  })

  test('one can be added behind each', () => {
    for (const index of names.keys()) {
      const added = addStage(text, index + 1, names[0]!, '18 °C', '3 d')!
      expect(readPlan(added, 'plan').findings).toEqual([])
      expect(namesOf(added)).toEqual(names.toSpliced(index + 1, 0, namesOf(added)![index + 1]!))
      expect(removeStage(added, index + 1)).toBe(text)
    }
  })
})

function unplaced(stage: unknown): unknown {
  return JSON.parse(JSON.stringify(stage, (key, value) => (/^places?$/.test(key) ? undefined : value)))
}

describe('a stage that is renamed', () => {
  test('takes along what leads to it, in the quotation marks in which it stood', () => {
    expect(renameStage(TEXT, 2, 'Diacetyl rest')).toBe(TEXT.replaceAll('Rest', 'Diacetyl rest'))
    expect(renameStage(TEXT, 1, 'Rouse')).toBe(TEXT.replaceAll('Wake up', 'Rouse'))
  })

  test('leaves alone what leads to another one of the same name', () => {
    const text = 'plan: A\nstages:\n  - { stage: X, hold: 1 °C, then: X }\n  - { stage: X, hold: 1 °C }\n'
    expect(renameStage(text, 1, 'Y')).toBe(
      text.replace('- { stage: X, hold: 1 °C }', '- { stage: Y, hold: 1 °C }'),
    )
  })

  test('gets a name although it had none', () => {
    expect(renameStage('plan: A\nstages:\n  - hold: 1 °C\n', 0, 'New')).toContain('stage: New')
  })
})

describe('a copy of a stage', () => {
  test('has a name and tasks of its own, and waits for its own tasks', () => {
    const copy = duplicateStage(TEXT, 1)!
    expect(copy).toContain(
      `  - stage: Wake up 2
    ramp: { to: 14 °C, over: 1 d }
    until: { any: [ { stage lasted: 3 d }, { done: Rouse 2 } ] }
    tasks: [ Rouse 2 ]`,
    )
    expect(copy.replace(/ {2}- stage: Wake up 2[\s\S]*?"Rest" }\n/, '')).toBe(TEXT)
  })
})

describe('within a stage', () => {
  test('a value is written in its place', () => {
    expect(setInStage(TEXT, 0, ['hold'], '11 °C')).toBe(TEXT.replace('10 °C #', '11 °C #'))
    expect(setInStage(TEXT, 1, ['until', 'any', 0, 'stage lasted'], '4 d')).toBe(
      TEXT.replace('stage lasted: 3 d', 'stage lasted: 4 d'),
    )
  })

  test('a new key stands where it usually does', () => {
    expect(setInStage(TEXT, 0, ['at most'], '20 d')).toBe(
      TEXT.replace('    then: Rest\n', '    then: Rest\n    at most: 20 d\n'),
    )
    expect(setInStage(TEXT, 2, ['if unknown'], { entries: [['wait', '12 h']] })).toContain(
      '    until: { stage lasted: 2 d }\n    if unknown: { wait: 12 h }\n',
    )
  })

  test('one course is exchanged for another', () => {
    expect(replaceInStage(TEXT, 0, ['hold'], 'leave alone', 'true')).toBe(
      TEXT.replace('hold: 10 °C', 'leave alone: true'),
    )
  })

  test('a key is taken out', () => {
    expect(removeFromStage(TEXT, 1, ['at most'])).toBe(TEXT.replace('    at most: 9 d\n', ''))
  })
})

describe('tasks', () => {
  test('are added, renamed with what waits for them, and taken out', () => {
    const added = addTask(TEXT, 1, 'Rouse')!
    expect(added).toBe(TEXT.replace('[ Rouse ]', '[ Rouse, Rouse 2 ]'))
    expect(renameTask(TEXT, 1, 0, 'Stir')).toBe(TEXT.replaceAll('Rouse', 'Stir'))
    expect(removeTask(added, 1, 1)).toBe(TEXT)
    expect(removeTask(TEXT, 1, 0)).toBe(TEXT.replace('    tasks: [ Rouse ]\n', ''))
  })

  test('the first one of a stage', () => {
    expect(addTask(TEXT, 2, 'Taste: is it clean?')).toBe(
      TEXT.replace('{ stage lasted: 2 d }\n', '{ stage lasted: 2 d }\n    tasks: ["Taste: is it clean?"]\n'),
    )
  })
})

test('a text that is no plan is not changed', () => {
  for (const text of ['', 'plan: A', '- x', 'stages: { a: 1 }', 'stages: [', '\t'])
    for (const changed of [
      moveStage(text, 0, 1),
      removeStage(text, 0),
      duplicateStage(text, 0),
      renameStage(text, 0, 'A'),
      setInStage(text, 0, ['hold'], '1 °C'),
      addTask(text, 0, 'A'),
    ])
      expect(changed, text).toBeNull()
})

test('a text that is cut off anywhere is changed in a way that can be read, or not at all', () => {
  for (const [, text] of PLANS)
    for (let at = 0; at <= text.length; at += 23) {
      const cut = text.slice(0, at)
      const before = namesOf(cut)
      const moved = moveStage(cut, 0, 1)
      if (moved !== null && before !== undefined)
        expect(namesOf(moved)?.toSorted()).toEqual(before.toSorted())
      for (const changed of [
        duplicateStage(cut, 0),
        renameStage(cut, 0, 'Other'),
        setInStage(cut, 0, ['hold'], '1 °C'),
      ])
        if (changed !== null) expect(comments(changed)).toEqual(expect.arrayContaining([...comments(cut)]))
    }
})
