import type { BatchState } from '../engine/events.ts'
import type { DisplayUnits } from '../units/display.ts'
import { formatClock, formatDate, formatTemperature } from '../units/format.ts'
import { asksForSomebody, type Doubt, verdictOf } from './doubts.ts'
import { byWhom } from './named.ts'

/** How a running batch stands, as far as the whole cellar's sentence asks. */
export interface StandingBatch {
  readonly batch: { readonly name: string; readonly localOffset_s: number }
  readonly now_ms: number
  readonly doubts: readonly Doubt[]
  readonly state: { readonly batch: BatchState }
  readonly target_C: number | null
}

export interface CellarTelling {
  readonly units: DisplayUnits
  /** Alarms that call for somebody and belong to no batch. */
  readonly ringing?: number
  /** It is told as it was when it was last heard of. */
  readonly asItWas?: boolean
}

/**
 * The whole cellar: how much is going on, which batches need a person, which are held or complete; and that all is well, when
 * that is known of each.
 */
export function cellarSentence(
  vessels: number,
  running: readonly StandingBatch[],
  { units, ringing = 0, asItWas = false }: CellarTelling,
): string {
  if (vessels === 0) return 'The cellar is empty.'
  const where = vessels === 1 ? '' : ` in ${vessels} vessels`
  const alarms =
    ringing === 0 ? '' : `; ${ringing === 1 ? 'an alarm calls' : `${ringing} alarms call`} for you`
  if (running.length === 0) return `No batch is running${where}${alarms}.`
  const what = running.length === 1 ? 'One batch runs' : `${running.length} batches run`
  const needy = running.filter(needsSomebody).map(({ batch }) => batch.name)
  const standing = [
    ...running.filter(({ state }) => state.batch === 'held').map(one => sayHeld(one, units)),
    ...running.filter(({ state }) => state.batch === 'complete').map(one => sayComplete(one, units)),
    ...sayUnknown(running),
  ]
  const head = `${what}${where}; ${sayNeed(running, needy, ringing > 0, asItWas)}${needy.length === 0 ? '' : alarms}.`
  return [needy.length === 0 && alarms !== '' ? `${what}${where}${alarms}.` : head, ...standing].join(' ')
}

/** Whether a batch needs a person. */
export function needsSomebody({ doubts }: Pick<StandingBatch, 'doubts'>): boolean {
  return doubts.some(asksForSomebody)
}

function sayNeed(
  running: readonly StandingBatch[],
  needy: readonly string[],
  isRinging: boolean,
  asItWas: boolean,
): string {
  if (needy.length > 0) return `${listed(needy)} ${needy.length === 1 ? 'needs' : 'need'} you`
  const isWell = !asItWas && !isRinging && running.every(({ doubts }) => verdictOf(doubts) === 'well')
  if (isWell) return 'all is well'
  return running.length === 1 ? 'it does not need you' : 'none of them needs you'
}

function sayHeld({ batch, doubts, now_ms }: StandingBatch, units: DisplayUnits): string {
  const held = doubts.find(doubt => doubt.kind === 'held')
  const by =
    held === undefined ? '' : held.by === 'brewer' || held.by === null ? byWhom(held.who) : ' by the plan'
  const since =
    held?.since_s == null ? '' : ` since ${sinceWords(held.since_s, batch.localOffset_s, now_ms, units)}`
  return `${batch.name} is held${by}${since}; it goes on when you say so.`
}

function sinceWords(at_s: number, localOffset_s: number, now_ms: number, units: DisplayUnits): string {
  const local_s = at_s + localOffset_s
  const isToday = Math.floor(local_s / 86_400) === Math.floor((now_ms / 1000 + localOffset_s) / 86_400)
  return isToday ? formatClock(local_s, units) : `${formatDate(local_s)}`
}

function sayComplete({ batch, target_C }: StandingBatch, units: DisplayUnits): string {
  return `${batch.name} is complete${target_C === null ? '' : ` and kept at ${formatTemperature(target_C, units)}`}.`
}

function sayUnknown(running: readonly StandingBatch[]): readonly string[] {
  const unknown = running.filter(({ doubts }) => verdictOf(doubts) === 'unknown')
  if (unknown.length === 0) return []
  return [`Whether all is well with ${listed(unknown.map(({ batch }) => batch.name))} is not known.`]
}

/** "one", "one and two", "one, two and three". */
function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? ''
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`
}
