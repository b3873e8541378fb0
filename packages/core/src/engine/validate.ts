import type { ChannelState, ReadingInput } from './contract.ts'
import { type Draft, inOrder } from './draft.ts'
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
const HISTORY_SPARE = 2

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
    if (before.at_s !== null && reading.at_s <= before.at_s) continue
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
  const { at_s } = reading
  // A negative zero would not survive JSON.
  const value = reading.value + 0
  const isBad = reading.status === 'bad' || !(value >= channel.lowest && value <= channel.highest)
  if (isBad) return doubt(draft, channel, before, reading, 'bad')
  if (reading.status === 'uncertain' || !isPlausible(draft, channel, value, at_s)) {
    return doubt(draft, channel, before, reading, 'jumped')
  }
  const latest = latestRaw(before)
  const jumped = latest !== null && Math.abs(value - latest) > channel.step
  if (jumped && before.trusted) {
    return { ...doubt(draft, channel, before, reading, 'jumped'), value, at_s, run: 1 }
  }
  const run = before.trusted ? before.run : jumped ? 1 : before.run + 1
  if (channel.history_s === 0) {
    return { value, at_s, trusted: before.trusted, doubted: before.doubted, run, history: before.history }
  }
  const history = remember(before.history, at_s, value, channel)
  return {
    value: medianOfLast(history, channel.medianOf),
    at_s,
    trusted: before.trusted,
    doubted: before.doubted,
    run,
    history,
  }
}

function latestRaw(channel: ChannelState): number | null {
  const { history } = channel
  return history.length > 0 ? history[history.length - 1]![1] : channel.value
}

/** A channel that is doubted keeps its last good value for the record, but is not believed. */
function doubt(
  draft: Draft,
  channel: ProgramChannel,
  before: ChannelState,
  reading: ReadingInput,
  why: 'bad' | 'jumped',
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
  return { ...before, trusted: false, doubted: true, run: 0 }
}

function isPlausible(draft: Draft, channel: ProgramChannel, value: number, at_s: number): boolean {
  const { program, state } = draft
  if (!program.quantities[channel.quantity]!.isGravity || program.side !== 'fermentation') return true
  if (value > program.originalGravity + ABOVE_ORIGINAL_SG) return false
  if (value < (state.finalGravity ?? program.finalGravity) - BELOW_FINAL_SG) return false
  const since_s = state.startedAt_s === null ? 0 : Math.max(0, at_s - state.startedAt_s)
  return value >= program.originalGravity - HEAD_START_SG - FASTEST_FALL_SG_PER_S * since_s
}

type History = ChannelState['history']

/** Appends a reading and forgets what no condition can ask for any more: one reading before the window is kept as its edge. */
function remember(history: History, at_s: number, value: number, channel: ProgramChannel): History {
  const from_s = at_s - channel.history_s
  let first = 0
  const least = channel.medianOf + HISTORY_SPARE
  while (history.length - first > least && history[first + 1]![0] <= from_s) first++
  const kept = history.slice(first)
  kept.push([at_s, value])
  return kept
}

function medianOfLast(history: History, count: number): number {
  if (count === 1 || history.length === 1) return history[history.length - 1]![1]
  const values = history.slice(-count).map(([, value]) => value)
  values.sort((a, b) => a - b)
  const middle = values.length >> 1
  return values.length % 2 === 1 ? values[middle]! : (values[middle - 1]! + values[middle]!) / 2
}
