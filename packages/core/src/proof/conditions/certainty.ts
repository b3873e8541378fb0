import { and, FALSE, not, or, TRUE, type Truth, UNKNOWN } from '../../engine/kleene.ts'
import type { Condition, QuantityName } from '../../plan/plan.ts'
import { quantitiesOf } from '../../plan/quantities-of.ts'
import { type Atom, isAtom } from './walk.ts'

/**
 * What becomes of a condition if one waits long enough, in three-valued logic. A part that rests on a quantity that
 * nobody measures any more is unknown; times become true (what only holds before a time counts as over: false).
 *
 * What the beer itself decides is looked at twice: as if it never came, which gives what time alone brings about, and as
 * if it came, which is what the plan counts on anyway. Of alternatives of which one has become unknown, another one
 * that only the beer decides is no proof, because the plan may have counted on the first.
 */
export interface Outlook {
  /** In the long run, if all comes that the beer decides. */
  readonly truth: Truth
  /**
   * True at the latest this long after the stage's beginning, s; null: when the beer decides, or never. Infinity: by the
   * calendar, and when the stage begins is not known.
   */
  readonly within_s: number | null
  /** Not false any more at the latest this long after the stage's beginning, s; null: as above. */
  readonly notFalse_s: number | null
}

export interface Outside {
  readonly isKnown: (quantity: QuantityName) => boolean
  /** What becomes of the task's answer. */
  readonly taskOutlook: (task: string) => Outlook
  readonly hasTarget: boolean
  /** Local time of the batch's beginning, s; null: not known. */
  readonly start_local_s: number | null
}

const NEVER: Outlook = { truth: FALSE, within_s: null, notFalse_s: null }
const BY_THE_BEER: Outlook = { truth: TRUE, within_s: null, notFalse_s: null }
const LOST: Outlook = { truth: UNKNOWN, within_s: null, notFalse_s: 0 }

const DAY_S = 86_400

export function outlook(condition: Condition, outside: Outside, wanted = true): Outlook {
  const bare = withoutDwell(condition, outside, wanted)
  if (condition.lasting_s === 0) return bare
  if (!wanted) {
    // That something has not lasted long enough is over when it has; when it may never last, it may stay so.
    const inner = outlook({ ...condition, lasting_s: 0 }, outside)
    return inner.truth === UNKNOWN ? LOST : inner.within_s !== null ? NEVER : BY_THE_BEER
  }
  const later = (time_s: number | null) => (time_s === null ? null : time_s + condition.lasting_s)
  // A dwell makes true out of what is unknown or true without a break; what is unknown stays unknown meanwhile.
  return bare.truth === TRUE
    ? { truth: TRUE, within_s: later(bare.within_s), notFalse_s: later(bare.notFalse_s ?? bare.within_s) }
    : bare
}

function withoutDwell(condition: Condition, outside: Outside, wanted: boolean): Outlook {
  if (isAtom(condition)) return ofAtom(condition, outside, wanted)
  if (condition.kind === 'not') return outlook(condition.of, outside, !wanted)
  const parts = condition.of.map(part => outlook(part, outside, wanted))
  if ((condition.kind === 'all') !== wanted) return either(parts)
  const all = together(parts)
  // A window of the day closes again: once the rest has come, it may take another day until it opens.
  const isDaily = condition.of.some(part => part.kind === 'time of day')
  return isDaily && all.within_s !== null ? { ...all, within_s: all.within_s + DAY_S } : all
}

function together(parts: readonly Outlook[]): Outlook {
  const latest = (times: readonly (number | null)[]) =>
    times.reduce<number | null>((a, b) => (a === null || b === null ? null : Math.max(a, b)), 0)
  const truth = parts.reduce<Truth>((a, { truth }) => and(a, truth), TRUE)
  return {
    truth,
    within_s: truth === TRUE ? latest(parts.map(part => part.within_s)) : null,
    notFalse_s: truth === FALSE ? null : latest(parts.map(part => part.notFalse_s)),
  }
}

function either(parts: readonly Outlook[]): Outlook {
  const soonest = (times: readonly (number | null)[]) =>
    times.reduce<number | null>((a, b) => (a === null || b === null ? (a ?? b) : Math.min(a, b)), null)
  const within_s = soonest(parts.map(part => part.within_s))
  const notFalse_s = soonest(parts.map(part => part.notFalse_s))
  if (within_s !== null) return { truth: TRUE, within_s, notFalse_s }
  const isPartLost = parts.some(part => part.truth === UNKNOWN)
  const truth = isPartLost ? UNKNOWN : parts.reduce<Truth>((a, { truth }) => or(a, truth), FALSE)
  return { truth, within_s: null, notFalse_s }
}

function after(time_s: number): Outlook {
  return { truth: TRUE, within_s: time_s, notFalse_s: time_s }
}

function ofAtom(atom: Atom, outside: Outside, wanted: boolean): Outlook {
  if (!quantitiesOf(atom).every(outside.isKnown)) return LOST
  switch (atom.kind) {
    case 'elapsed':
      if (atom.since !== 'target') return wanted ? after(atom.atLeast_s) : NEVER
      if (!outside.hasTarget) return wanted ? NEVER : after(0)
      return wanted ? BY_THE_BEER : NEVER
    case 'near target':
      return outside.hasTarget ? BY_THE_BEER : LOST
    case 'calendar': {
      if (!wanted) return NEVER
      const start_s = outside.start_local_s
      return start_s === null
        ? after(Number.POSITIVE_INFINITY)
        : after(Math.max(0, atom.from.local_s - start_s))
    }
    case 'time of day':
      return after(DAY_S)
    case 'done': {
      if (wanted) return outside.taskOutlook(atom.task)
      const answered = outside.taskOutlook(atom.task)
      return {
        ...answered,
        truth: not(answered.truth),
        within_s: null,
        notFalse_s: answered.truth === UNKNOWN ? 0 : null,
      }
    }
    case 'compare':
    case 'attenuation':
    case 'fall':
    case 'steady':
      return BY_THE_BEER
  }
}
