import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { PROJECT_FOLDERS } from '../../bench/skill/project-folders.ts'
import { questionsOf } from '../../bench/skill/question.ts'
import { readRecords } from '../../bench/skill/read-records.ts'
import { readRecord, yeastOf } from '../../packages/cli/src/readings/recorded-batch.ts'

const folder = mkdtempSync(join(tmpdir(), 'records-'))
afterAll(() => rmSync(folder, { recursive: true }))

const record = (text: string) => {
  const made = readRecord('a-house-b', text)
  if (typeof made === 'string') throw new Error(made)
  return made
}

describe('recorded fermentations', () => {
  it('are read with columns in any order, others among them, comments, and without temperature', () => {
    const made = record(
      '# from a book\nnote,gravity,ph,time_h\npitched,1.050,5.2,0\n,1.040,4.9,24\n\n,1.012,,96\n',
    )
    expect(made.gravity).toEqual([
      { at_h: 0, value: 1.05 },
      { at_h: 24, value: 1.04 },
      { at_h: 96, value: 1.012 },
    ])
    expect(made.temperature_C).toEqual([])
    expect(made.yeast).toBe('a-house')
  })

  it('end where the beer was moved to the cold', () => {
    const made = record(
      'time_h,temperature_C,gravity,note\n0,20,1.05,\n50,20,1.02,moved to the cold\n60,5,1.018,\n',
    )
    expect(made.gravity).toHaveLength(1)
  })

  it('end where only the temperature shows that the beer was chilled', () => {
    const rows = Array.from(
      { length: 20 },
      (_, day) => `${day * 12},${day < 12 ? 20 : 4},${1.05 - day * 0.001},`,
    )
    const made = record(`time_h,temperature_C,gravity,note\n${rows.join('\n')}\n`)
    expect(made.gravity).toHaveLength(12)
  })

  it('are left out by name and reason where a file is none, and the others are read all the same', () => {
    writeFileSync(join(folder, 'good-a.csv'), 'time_h,gravity,note\n0,1.05,\n20,1.03,\n')
    writeFileSync(join(folder, 'empty.csv'), '')
    writeFileSync(join(folder, 'other.csv'), 'id,og\n1,1.05\n')
    writeFileSync(join(folder, 'odd.csv'), 'time_h,gravity,note\n0,"1.05\n1,2,3,4,5"x"\n')
    writeFileSync(join(folder, 'words.csv'), 'time_h,gravity,note\nmorning,high,\n')
    const { batches, leftOut } = readRecords([folder, join(folder, 'missing')])
    expect(batches.map(each => each.name)).toContain('good-a')
    const named = leftOut.map(each => each.file.split('/').at(-1))
    for (const name of ['empty.csv', 'other.csv', 'words.csv', 'missing']) expect(named).toContain(name)
    for (const each of leftOut) expect(each.why).not.toBe('')
  })

  it('are asked only with what was known when the share of the fall had passed', () => {
    let asked = 0
    for (const batch of readRecords(PROJECT_FOLDERS).batches) {
      const questions = questionsOf(batch)
      if (typeof questions === 'string') continue
      for (const question of questions) {
        asked++
        const level = question.original - question.share * (question.original - question.last.value)
        expect(question.shown.at(-1)!.value).toBeLessThanOrEqual(level + 1e-9)
        expect(question.shown.at(-1)!.at_h).toBe(question.now_h)
        expect(question.shownTemperature_C.every(each => each.at_h <= question.now_h)).toBe(true)
        expect(question.last.at_h).toBeGreaterThan(question.now_h)
      }
    }
    expect(asked).toBeGreaterThan(90)
  })

  it('name their yeast without the last letter', () => {
    expect(yeastOf('house-ale-20C-b')).toBe('house-ale-20C')
    expect(yeastOf('house-ale')).toBe('house-ale')
  })
})
