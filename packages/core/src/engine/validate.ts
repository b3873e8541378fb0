import { isSinceRestart, isWithin, provesNothing, unsure } from './belief.ts'
import type { ChannelState, ReadingInput } from './contract.ts'
import { type Draft, inOrder } from './draft.ts'
import { isOriginalSettled, originalGravity } from './original-gravity.ts'
import type { ProgramChannel } from './program.ts'

/** A gravity below the expected final one by more than this is not the beer's: a float in air, or on the bench. */
const BELOW_FINAL_SG = 0.01
/** A gravity above the original one by more than this is not the beer's. */
const ABOVE_ORIGINAL_SG = 0.01
/**
 * No yeast ferments faster than this: about 1.5 times the steepest fall of the fastest class (kveik at 36 °C from a heavy
 * pitch, reference model). A reading that has fallen further since the start is not the beer's.
 */
const FASTEST_FALL_SG_PER_S = 0.004 / 3600
const HEAD_START_SG = 0.008
/** A window holds at most about this many readings. */
const MOST_IN_WINDOW = 300

/**
 * First part of the pipeline: takes in the readings, each with its status. A bad reading (not finite, outside the
 * instrument's range, sent as bad) or an implausible one is not used, and the channel loses its trust at once; it earns
 * it back in `arbitrate`.
 */
export function validate(draft: Draft, readings: readonly ReadingInput[]): void {
  if (readings.length === 0) return
  const channels = draft.state.channels.slice()
  for (const reading of inOrder(readings)) {
    const channel = draft.program.channels[reading.channel]
    if (!channel) continue
    const before = channels[reading.channel]!
    if (before.at_s !== null && Math.min(reading.at_s, draft.now_s) <= before.at_s) continue
    channels[reading.channel] = takeIn(draft, channel, before, reading)
  }
  draft.state.channels = channels
}

function takeIn(
  draft: Draft,
  channel: ProgramChannel,
  before: ChannelState,
  reading: ReadingInput,
): ChannelState {
  // A device's clock that is a little ahead must not keep its next readings out.
  const at_s = Math.min(reading.at_s, draft.now_s)
  // A negative zero would not survive JSON.
  const value = reading.value + 0
  const isBad = reading.status === 'bad' || !(value >= channel.lowest && value <= channel.highest)
  if (isBad) return doubt(draft, channel, before, reading, 'bad')
  if (reading.status === 'uncertain' || !isPlausible(draft, channel, value, at_s)) {
    return doubt(draft, channel, before, reading, 'implausible')
  }
  const latest = latestRaw(before)
  const jumped = latest !== null && Math.abs(value - latest) > channel.step
  const isDoubtful = jumped || !before.trusted
  if (isDoubtful && provesNothing(draft, channel, value)) {
    return doubt(draft, channel, before, reading, before.trusted ? 'jumped' : 'implausible')
  }
  if (jumped && before.trusted) {
    const row = { since_s: at_s, varies: false }
    return { ...doubt(draft, channel, before, reading, 'jumped'), value, at_s, run: 1, row }
  }
  // Good readings in a row are those without a silence between them: an instrument that has become too slow stays lost.
  const isRow = !jumped && before.at_s !== null && at_s < before.at_s + channel.silence_s
  const proven = before.trusted
    ? before
    : isSinceRestart(draft, channel, at_s)
      ? nextInRow(odd(draft, channel, before, reading), isRow, at_s, value !== latest)
      : before
  const { trusted, doubted, run, row = null, sure = null, still = null, stuckSince_s = null } = proven
  if (channel.history_s === 0) {
    const { recent, history } = before
    return { value, at_s, trusted, doubted, run, row, sure, still, stuckSince_s, recent, history }
  }
  const tooMany = before.recent.length + 1 - channel.medianOf
  const recent = [...before.recent.slice(Math.max(0, tooMany)), value]
  return {
    value: median(recent),
    at_s,
    trusted,
    doubted,
    run,
    row,
    sure,
    still,
    stuckSince_s,
    recent,
    history: remember(before.history, at_s, value, channel.history_s),
  }
}

function nextInRow(before: ChannelState, isRow: boolean, at_s: number, differs: boolean): ChannelState {
  const { row } = before
  if (!isRow || !row) return { ...before, run: 1, row: { since_s: at_s, varies: false } }
  return {
    ...before,
    run: before.run + 1,
    row: differs && !row.varies ? { since_s: row.since_s, varies: true } : row,
  }
}

/** What the vessel cannot do is said at once, although it may still prove itself. */
function odd(
  draft: Draft,
  channel: ProgramChannel,
  before: ChannelState,
  reading: ReadingInput,
): ChannelState {
  if (before.doubted || isWithin(channel, reading.value)) return before
  return {
    ...doubt(draft, channel, before, reading, 'implausible'),
    run: before.run,
    row: before.row ?? null,
  }
}

/** The next readings of a trusted channel are good as long as they lie in this interval. */
export function standByGood(draft: Draft, number: number): void {
  const { program, state, scope, now_s } = draft
  const channel = program.channels[number]!
  const { lowest, highest, step } = channel
  // Any two readings of this interval are within one step of each other and inside the instrument's range.
  const latest = latestRaw(state.channels[number]!)!
  scope.between(number, Math.max(lowest, latest - step / 2), Math.min(highest, latest + step / 2))
  if (isBeersGravity(draft, channel)) {
    scope.between(number, lowestPlausible_SG(draft, now_s), highestPlausible_SG(draft))
  }
}

/**
 * To be asked when all has been decided: what was compared is the median, and that stays between the bounds as long as all
 * readings of which it is taken do. If one of those at hand does not, each further one counts.
 */
export function standByMedians(draft: Draft): void {
  const { program, state, scope } = draft
  for (let number = 0; number < program.channels.length; number++) {
    if (program.channels[number]!.medianOf === 1) continue
    const lower = scope.lower[number]!
    const upper = scope.upper[number]!
    for (const value of state.channels[number]!.recent) {
      if (!(value > lower && value < upper)) scope.everyReading(number)
    }
  }
}

function latestRaw(channel: ChannelState): number | null {
  return channel.recent.at(-1) ?? channel.value
}

/** A channel that is doubted keeps its last good value for the record, but is not believed. */
function doubt(
  draft: Draft,
  channel: ProgramChannel,
  before: ChannelState,
  reading: ReadingInput,
  why: 'bad' | 'implausible' | 'jumped',
): ChannelState {
  if (before.trusted || !before.doubted) {
    draft.events.push({
      kind: 'instrument lost',
      at_s: draft.now_s,
      instrument: channel.instrument,
      quantity: draft.program.quantities[channel.quantity]!.name,
      why,
      value: Number.isFinite(reading.value) ? reading.value : null,
    })
  }
  return { ...before, ...unsure(before), doubted: true }
}

function isPlausible(draft: Draft, channel: ProgramChannel, value: number, at_s: number): boolean {
  if (!isBeersGravity(draft, channel)) return true
  return value <= highestPlausible_SG(draft) && value >= lowestPlausible_SG(draft, at_s)
}

function isBeersGravity({ program }: Draft, channel: ProgramChannel): boolean {
  return program.side === 'fermentation' && program.quantities[channel.quantity]!.isGravity
}

function highestPlausible_SG(draft: Draft): number {
  return originalGravity(draft) + unsureOriginal_SG(draft) + ABOVE_ORIGINAL_SG
}

/** Never rises as time goes by. */
function lowestPlausible_SG(draft: Draft, at_s: number): number {
  const { program, state } = draft
  const since_s = state.startedAt_s === null ? 0 : Math.max(0, at_s - state.startedAt_s)
  return Math.max(
    (state.finalGravity ?? program.finalGravity) - BELOW_FINAL_SG,
    originalGravity(draft) - unsureOriginal_SG(draft) - HEAD_START_SG - FASTEST_FALL_SG_PER_S * since_s,
  )
}

/** While it has not been measured, it may be off by what the brewer says. */
function unsureOriginal_SG(draft: Draft): number {
  return isOriginalSettled(draft) ? 0 : 2 * draft.program.originalGravitySd_SG
}

type History = ChannelState['history']

/**
 * Appends a reading. What no condition can ask for any more is forgotten, but for one reading before the window as its
 * edge; and of readings that follow each other closely the one between is left out, so that the history of an instrument
 * that reports every few seconds stays as short as that of a slow one. A straight line through some hundreds of readings
 * is as good as through all of them.
 */
function remember(history: History, at_s: number, value: number, window_s: number): History {
  const from_s = at_s - window_s
  let first = 0
  while (first + 1 < history.length && history[first + 1]![0] <= from_s) first++
  const last = history.length - 1
  const isClose = last > first && history[last]![0] - history[last - 1]![0] < window_s / MOST_IN_WINDOW
  const count = (isClose ? last : last + 1) - first
  // Sliced and pushed, the whole list would be copied twice; it is most of what a run leaves to be collected.
  const kept = new Array<History[number]>(count + 1)
  for (let n = 0; n < count; n++) kept[n] = history[first + n]!
  kept[count] = [at_s, value]
  return kept
}

function median(values: readonly number[]): number {
  const middle = values.length >> 1
  const upper = ranked(values, middle)
  return values.length % 2 === 1 ? upper : (ranked(values, middle - 1) + upper) / 2
}

/** What stands at place `rank` when they are sorted; by counting, as there are three of them, or five. */
function ranked(values: readonly number[], rank: number): number {
  for (const value of values) {
    let below = 0
    let same = 0
    for (const other of values) {
      if (other < value) below++
      else if (other === value) same++
    }
    if (below <= rank && rank < below + same) return value
  }
  return Number.NaN
}
