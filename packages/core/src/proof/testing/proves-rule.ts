import { describe, expect, test } from 'vitest'
import type { Rule } from '../rule.ts'
import { marked, type Texts } from './cases.ts'

/** `marks`: each finding as "severity: the marked line". */
type Trips = Texts & { readonly because: string; readonly marks: readonly string[] }
type Spares = Texts & { readonly because: string }

/** What trips a rule, and near-misses that do not. */
export function provesRule(rule: Rule, trips: readonly Trips[], spares: readonly Spares[]): void {
  describe(rule.code, () => {
    test.each(trips)('trips: $because', ({ marks, ...texts }) => {
      expect(marked(rule.code, texts)).toEqual(marks)
    })
    test.each(spares)('spares: $because', texts => {
      expect(marked(rule.code, texts)).toEqual([])
    })
  })
}
