import { isPowerOnValue } from '../vessel/reach.ts'
import type { ChannelState, EngineState } from './contract.ts'
import type { Draft } from './draft.ts'
import type { Program, ProgramChannel } from './program.ts'

/*
 * What it takes to be believed. A single reading proves nothing: a chip that has just been given power says 85 °C, a torn
 * wire the end of its scale. So a second one must support the first, after a failure three do; and what the vessel cannot do
 * (a temperature beyond its reach, or one to which it could not have come since the latest one that was believed) must show
 * that somebody is really measuring: some readings over some time, of which not all are the same.
 */

/** After a failure an instrument must give this many good readings in a row before it is believed again. */
const GOOD_IN_A_ROW = 3
/** What the vessel cannot do needs one more, over so long at least. Common practice, no source. */
const ODD_IN_A_ROW = 4
const ODD_LASTS_S = 600

/** A channel that is not believed any more: what it has to show begins anew, and the latest good reading is remembered. */
export function unsure(channel: ChannelState): Pick<ChannelState, 'trusted' | 'run' | 'row' | 'sure'> {
  const { trusted, value, at_s } = channel
  const sure = trusted && value !== null && at_s !== null ? ([at_s, value] as const) : (channel.sure ?? null)
  return { trusted: false, run: 0, row: null, sure }
}

/** Whether the readings in a row are enough to be believed. */
export function isProven(
  { run, row, doubted, value, at_s, sure }: ChannelState,
  channel: ProgramChannel,
): boolean {
  if (value === null || at_s === null) return false
  if (isWithin(channel, value) && isReachable(channel, sure ?? null, value, at_s)) {
    return run >= (doubted ? GOOD_IN_A_ROW : channel.firstNeeds)
  }
  return run >= ODD_IN_A_ROW && row?.varies === true && at_s - row.since_s >= ODD_LASTS_S
}

/** Within what the vessel can do. */
export function isWithin({ reach }: ProgramChannel, value: number): boolean {
  return value >= reach.lowest && value <= reach.highest
}

function isReachable(
  { step, fastest_per_s }: ProgramChannel,
  sure: readonly [number, number] | null,
  value: number,
  at_s: number,
): boolean {
  return sure === null || Math.abs(value - sure[1]) <= step + fastest_per_s * Math.max(0, at_s - sure[0])
}

/** Whether a channel measures a temperature that something is switched by. */
function isThermometer({ quantities }: Program, channel: ProgramChannel): boolean {
  const { name } = quantities[channel.quantity]!
  return name === 'beer' || name === 'air'
}

/** A reading that proves nothing, however often it comes. */
export function provesNothing({ program }: Draft, channel: ProgramChannel, value: number): boolean {
  return isThermometer(program, channel) && isPowerOnValue(value)
}

/** Whether a reading was taken since the software began anew; of what switches nothing, each counts. */
export function isSinceRestart({ program, state }: Draft, channel: ProgramChannel, at_s: number): boolean {
  const { restartedAt_s } = state
  return restartedAt_s == null || at_s > restartedAt_s || !isThermometer(program, channel)
}

/** The software began anew, after a time that nobody can measure: the clock may be wrong, and wires may hang elsewhere. */
export function believeNoTemperature(draft: Draft): void {
  const { state, program, now_s } = draft
  state.restartedAt_s = now_s
  state.channels = state.channels.map((channel, number) => {
    if (!isThermometer(program, program.channels[number]!)) return channel
    // What was believed then has not failed: it needs as much as at the start.
    return { ...channel, ...unsure(channel), doubted: channel.doubted && !channel.trusted }
  })
}

/** Has been heard, or was believed until a restart, and has not failed: its next reading is waited for. */
export function isWaiting({ trusted, doubted, at_s }: ChannelState): boolean {
  return !trusted && !doubted && at_s !== null
}

/** From when a silence counts: while the software was away, nobody listened. */
export function heardSince_s(
  { restartedAt_s }: EngineState,
  at_s: number,
  { trusted }: ChannelState,
): number {
  return trusted || restartedAt_s == null ? at_s : Math.max(at_s, restartedAt_s)
}

/**
 * Until when a quantity that nobody is believed for may still become known without anybody's help: an instrument that has not
 * failed has been heard (or was believed until the restart), and its next reading is to come. null: none is.
 */
export function awaitedUntil_s(program: Program, state: EngineState, quantity: number): number | null {
  let until_s: number | null = null
  for (const number of program.quantities[quantity]?.trust ?? []) {
    const channel = state.channels[number]!
    if (!isWaiting(channel)) continue
    const lost_s = heardSince_s(state, channel.at_s!, channel) + program.channels[number]!.silence_s
    until_s = Math.max(until_s ?? lost_s, lost_s)
  }
  return until_s
}
