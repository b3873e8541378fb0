import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describePlan } from '@attemper/core/plan/english.ts'
import { printPlan } from '@attemper/core/plan/print.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { describe, expect, it } from 'vitest'

const PAGE = 'docs/guide/plan-language.md'
const text = readFileSync(join(import.meta.dirname, '../..', PAGE), 'utf8')

/** Each example: a block of YAML, and the block of quotation that follows it. */
const examples = [...text.matchAll(/```yaml\n([\s\S]*?)```\n\n((?:>.*\n)+)/g)].map(([, source, quoted]) => ({
  source: source!,
  paragraphs: quoted!
    .split(/^>\s*$/m)
    .map(paragraph => paragraph.replace(/^> ?/gm, '').replace(/\s+/g, ' ').trim()),
}))

describe('the guide to the plan language', () => {
  it('has five examples, and each has its English', () => {
    expect(examples).toHaveLength(5)
    expect(text.match(/```yaml/g)).toHaveLength(5)
  })

  it('grows from example to example of one kind', () => {
    const lengths = examples.slice(0, 4).map(({ source }) => source.length)
    expect(lengths).toEqual(lengths.toSorted((a, b) => a - b))
  })

  it.each(examples.map(({ source, paragraphs }, index) => [index + 1, source, paragraphs] as const))(
    'example %i reads without a finding, and says what the page says',
    (_, source, paragraphs) => {
      const { plan, findings } = readPlan(source, PAGE)
      expect(findings).toEqual([])
      expect(paragraphs).toEqual(describePlan(plan!, USUAL_UNITS))
      const errors = proofRead({ plan: plan!, planFile: PAGE }).filter(({ severity }) => severity === 'error')
      expect(errors).toEqual([])
      const again = readPlan(printPlan(plan!, USUAL_UNITS), PAGE)
      expect(describePlan(again.plan!, USUAL_UNITS)).toEqual(paragraphs)
    },
  )

  it('only names words that the language has', () => {
    const keys = new Set(
      readFileSync(join(import.meta.dirname, '../../docs/reference/plan.md'), 'utf8').match(
        /(?<=^\| `)[^`]+/gm,
      ),
    )
    const prose = text.replace(/```yaml[\s\S]*?```/g, '')
    const named = [...prose.matchAll(/`([a-zA-Z][a-zA-Z ]*)(?:: [^`]*)?`/g)].map(([, word]) => word!)
    const notKeys = ['attemper check', 'attemper describe', 'alarm', 'switch off', 'ask', 'go on', 'finish']
    expect(named.filter(word => !keys.has(word) && !notKeys.includes(word))).toEqual([])
    expect(named.length).toBeGreaterThan(30)
  })

  it('says the cautions where heat, pressure, carbon dioxide and bottles are touched', () => {
    for (const caution of [
      /over-temperature cut-out/,
      /residual-current protection/,
      /ventilate/,
      /never bottle an unfinished beer/,
      /relief valve/,
      /licensed/,
    ]) {
      expect(text.replace(/\s+/g, ' ')).toMatch(caution)
    }
  })
})
