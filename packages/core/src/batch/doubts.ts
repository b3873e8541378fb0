import type { AlarmCode } from '../alarms/catalogue.ts'
import type { EngineState, Hold } from '../engine/contract.ts'
import type { Question } from '../engine/events.ts'
import type { Program } from '../engine/program.ts'
import type { SentenceContext } from '../report/sentences/context.ts'
import type { ApplianceLink } from './appliance-link.ts'
import { type BeerMoment, type OffTarget, offTarget } from './course-of-beer.ts'
import { type Measured, measuredValue } from './measured.ts'

/**
 * 'All is well' is a promise, so it is said only when it is known. This judges it, for everybody who says it: the sentence of
 * a batch and of the cellar, HTTP, the terminal, the figures, and the simulation that tries to break it.
 */

/** Why a batch can not be said to be well. Facts; `sayDoubt` makes the sentence. */
export type Doubt =
  /** Nobody looks after it: it could not be taken up, or the engine has failed on it. */
  | { readonly kind: 'not kept' }
  /** `last`: what was heard last; null: nothing yet. */
  | { readonly kind: 'temperature unknown'; readonly last: Measured | null }
  | { readonly kind: 'limit broken'; readonly limit: 'lowest' | 'highest' }
  | { readonly kind: 'disagree'; readonly quantity: string }
  | { readonly kind: 'question'; readonly question: Question }
  /** `by`: the brewer, or a response of the plan. `who`: their name, as the journal has it; null: not known. */
  | {
      readonly kind: 'held'
      readonly by: Hold['by'] | null
      readonly who: string | null
      readonly since_s: number | null
    }
  /** An instrument that should report does not, and no other stands in for it. `since_s` null: it was never heard. */
  | {
      readonly kind: 'stale'
      readonly quantity: string
      readonly instrument: string
      readonly since_s: number | null
    }
  | { readonly kind: 'appliance'; readonly link: ApplianceLink }
  | ({ readonly kind: 'off target' } & OffTarget)
  | { readonly kind: 'records'; readonly since_s: number }
  /** `isOver`: it has gone away, and nobody has seen it yet. */
  | {
      readonly kind: 'alarm'
      readonly code: AlarmCode
      readonly subject: string
      readonly isOver: boolean
    }

export type DoubtKind = Doubt['kind']

/** well: known to be; not well: known not to be; unknown: something can not be known. */
export type Verdict = 'well' | 'not well' | 'unknown'

/** An alarm of the batch, or of the cellar itself, that has been raised. */
export interface StandingAlarm {
  readonly code: AlarmCode
  readonly subject: string
  /** null: it is so now. */
  readonly awaySince_s: number | null
}

/** All that the judgement rests on. */
export interface Standing {
  readonly program: Program
  readonly state: EngineState
  readonly context: Pick<SentenceContext, 'handEvery_s'>
  readonly now_s: number
  /** Of the appliances that somebody switches through a door. */
  readonly links: readonly ApplianceLink[]
  readonly past: readonly BeerMoment[]
  readonly alarms: readonly StandingAlarm[]
  /** Since when what happens can not be written down; null: it is. */
  readonly unwrittenSince_s: number | null
  /** The name of whoever holds it, as the journal has it; null: not known. */
  readonly heldBy: string | null
  readonly isKept: boolean
}

/** Empty: all is well, as far as anybody can know. The most urgent first. An ended batch has none. */
export function doubtsOf(standing: Standing): readonly Doubt[] {
  const { program, state, context, now_s } = standing
  if (!isLive(program, state)) return []
  const beer = measuredValue(program, state, program.beer, context, now_s)
  const beer_C = beer?.isBelieved && !beer.isOld ? beer.value : null
  const doubts: Doubt[] = []
  if (!standing.isKept) doubts.push({ kind: 'not kept' })
  if (program.beer >= 0 && beer_C === null) doubts.push({ kind: 'temperature unknown', last: beer })
  if (state.limitBroken !== null) doubts.push({ kind: 'limit broken', limit: state.limitBroken })
  for (const link of standing.links) {
    if (link.state !== 'confirmed' && link.state !== 'told') doubts.push({ kind: 'appliance', link })
  }
  const off = offTarget(program, state, beer_C, standing.past)
  if (off !== null) doubts.push({ kind: 'off target', ...off })
  for (const { quantity, said } of state.disagreeing) {
    if (said) doubts.push({ kind: 'disagree', quantity: program.quantities[quantity]?.name ?? '' })
  }
  if (standing.unwrittenSince_s !== null) {
    doubts.push({ kind: 'records', since_s: standing.unwrittenSince_s })
  }
  doubts.push(...staleOf(standing))
  if (state.batch === 'held') doubts.push(heldDoubt(standing))
  // A task that has been told is named last: other questions hold the batch up.
  const asked = state.questions.toSorted((a, b) => Number(a.about === 'task') - Number(b.about === 'task'))
  for (const question of asked) doubts.push({ kind: 'question', question })
  const said = new Set(doubts.flatMap(alarmsSaidBy))
  for (const { code, subject, awaySince_s } of standing.alarms) {
    if (awaySince_s === null && said.has(`${code}|${subject}`)) continue
    doubts.push({ kind: 'alarm', code, subject, isOver: awaySince_s !== null })
  }
  return doubts
}

/** A complete fermentation is kept at its last target, so it is judged until it is ended. */
export function isLive(program: Pick<Program, 'side'>, { batch }: Pick<EngineState, 'batch'>): boolean {
  if (batch === 'complete') return program.side === 'fermentation'
  return batch === 'running' || batch === 'held'
}

export function verdictOf(doubts: readonly Doubt[]): Verdict {
  if (doubts.length === 0) return 'well'
  return doubts.every(isOfTheUnknown) ? 'unknown' : 'not well'
}

/** Nothing is known to be wrong by it; something is not known to be right. */
function isOfTheUnknown(doubt: Doubt): boolean {
  return doubt.kind === 'stale' || (doubt.kind === 'appliance' && doubt.link.state === 'unknown')
}

/**
 * Whether a person should come and look. What is held waits by their own wish (a plan that holds asks besides), and what is
 * unknown may never be known.
 */
export function asksForSomebody(doubt: Doubt): boolean {
  return !isOfTheUnknown(doubt) && doubt.kind !== 'held'
}

/** Instruments that report by themselves and should have been heard; a hand reading is due when the brewer says so. */
function staleOf({ program, state, context, now_s }: Standing): Doubt[] {
  const began_s = state.startedAt_s ?? now_s
  return program.quantities.flatMap(({ name, trust }, quantity): Doubt[] => {
    if (quantity === program.beer) return []
    const measured = measuredValue(program, state, quantity, context, now_s)
    if (measured?.isBelieved && !measured.isOld) return []
    const [first] = trust
      .map(number => ({ channel: program.channels[number]!, heard: state.channels[number] }))
      .filter(({ channel }) => context.handEvery_s?.[channel.instrument] === undefined)
    if (first === undefined) return []
    const since_s = first.heard?.at_s ?? null
    if (now_s - (since_s ?? began_s) <= first.channel.silence_s) return []
    return [{ kind: 'stale', quantity: name, instrument: first.channel.instrument, since_s }]
  })
}

function heldDoubt({ state: { hold }, heldBy }: Standing): Doubt {
  const by = hold?.by ?? null
  return { kind: 'held', by, who: by === 'brewer' ? heldBy : null, since_s: hold?.since_s ?? null }
}

/** Alarms that say the same as a doubt does, so that one cause is told once. */
function alarmsSaidBy(doubt: Doubt): readonly string[] {
  switch (doubt.kind) {
    case 'temperature unknown':
      return ['beer-temperature-unknown|', `instrument-lost|${doubt.last?.instrument ?? ''}`]
    case 'limit broken':
      return [`limit-broken|${doubt.limit}`]
    case 'disagree':
      return [`instruments-disagree|${doubt.quantity}`]
    case 'question':
      return [`question-open|${doubt.question.id}`, ...noResponse(doubt.question)]
    case 'held':
      return ['batch-held|']
    case 'stale':
      return [`instrument-lost|${doubt.instrument}`]
    case 'appliance':
      return [`appliance-unreachable|${doubt.link.appliance}`]
    case 'records':
      return ['storage-trouble|']
    case 'off target':
    case 'not kept':
    case 'alarm':
      return []
  }
}

const noResponse = ({ about, subject }: Question): readonly string[] =>
  about === 'no response' ? [`no-response|${subject}`] : []
