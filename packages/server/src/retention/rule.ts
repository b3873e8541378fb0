import type { RetentionLimits, Store } from '../store/store.ts'

/** How long readings outside of batches are kept, in days; null: for ever. A value for each hour is kept in any case. */
export interface RetentionRule {
  /** Every single reading. */
  readonly fullDetail_d: number | null
  /** A value for each minute; not shorter than the full detail. */
  readonly byTheMinute_d: number | null
}

/** Nothing is removed unless somebody has said so. */
export const KEEP_EVERYTHING: RetentionRule = { fullDetail_d: null, byTheMinute_d: null }

export const SHORTEST_D = 30
export const LONGEST_D = 36_500

const DOCUMENT = 'retention'
const DAY_MS = 86_400_000
/** So long before and after a batch everything is kept with it: the float before pitching, the beer until it is packaged. */
const AROUND_BATCH_MS = DAY_MS

export function readRule(store: Pick<Store, 'getDocument'>): RetentionRule {
  const text = store.getDocument(DOCUMENT)
  return text === null ? KEEP_EVERYTHING : (JSON.parse(text) as RetentionRule)
}

export function writeRule(store: Pick<Store, 'putDocument'>, { fullDetail_d, byTheMinute_d }: RetentionRule) {
  store.putDocument(DOCUMENT, JSON.stringify({ fullDetail_d, byTheMinute_d }))
}

/** What is wrong with a rule, as a sentence with its cure; null: nothing. */
export function faultOfRule({ fullDetail_d, byTheMinute_d }: RetentionRule): string | null {
  for (const [what, days] of [
    ['full detail', fullDetail_d],
    ['a value for each minute', byTheMinute_d],
  ] as const) {
    if (days !== null && !(days >= SHORTEST_D && days <= LONGEST_D)) {
      return `Keep ${what} for ${SHORTEST_D} to ${LONGEST_D} days, or for ever; not for ${days}.`
    }
  }
  if (byTheMinute_d !== null && (fullDetail_d === null || byTheMinute_d < fullDetail_d)) {
    return 'A value for each minute is kept at least as long as the full detail: say a longer time for it, or for ever.'
  }
  return null
}

export function limitsOf({ fullDetail_d, byTheMinute_d }: RetentionRule, now_ms: number): RetentionLimits {
  const from = (days: number | null) => (days === null ? Number.NEGATIVE_INFINITY : now_ms - days * DAY_MS)
  return {
    detailFrom_ms: from(fullDetail_d),
    minutesFrom_ms: from(byTheMinute_d),
    around_ms: AROUND_BATCH_MS,
  }
}

/** The rule in one plain sentence. */
export function sayRule({ fullDetail_d, byTheMinute_d }: RetentionRule): string {
  if (fullDetail_d === null) return 'All readings are kept for ever.'
  const then =
    byTheMinute_d === null
      ? 'a value for each minute for ever'
      : byTheMinute_d === fullDetail_d
        ? 'a value for each hour for ever'
        : `a value for each minute for ${byTheMinute_d} days and for each hour for ever`
  return `Outside of batches every single reading is kept for ${fullDetail_d} days, ${then}. What belongs to a batch is kept for ever.`
}
