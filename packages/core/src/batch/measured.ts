import type { EngineState } from '../engine/contract.ts'
import type { Program } from '../engine/program.ts'
import type { SentenceContext } from '../report/sentences/context.ts'

/** A value with where it is from and when it was taken: nothing is shown without them. */
export interface Measured {
  readonly value: number
  readonly instrument: string
  readonly byHand: boolean
  readonly at_s: number
  /** Older than the instrument should let it get: a missed timeout, or a hand reading that is due again. */
  readonly isOld: boolean
  /** The engine goes by it. False: the latest that was heard of it, which nobody believes any more. */
  readonly isBelieved: boolean
}

/** The latest value of a quantity of the program (its index); null: never heard. */
export function measuredValue(
  program: Program,
  state: EngineState,
  quantity: number,
  context: Pick<SentenceContext, 'handEvery_s'>,
  now_s: number,
): Measured | null {
  if (quantity < 0) return null
  const inCharge = state.inCharge[quantity] ?? -1
  const number = inCharge >= 0 ? inCharge : latestChannel(program, state, quantity)
  const heard = state.channels[number]
  const channel = program.channels[number]
  if (heard === undefined || channel === undefined || heard.value === null || heard.at_s === null) return null
  const handEvery_s = context.handEvery_s?.[channel.instrument]
  return {
    value: heard.value,
    instrument: channel.instrument,
    byHand: handEvery_s !== undefined,
    at_s: heard.at_s,
    isOld: now_s - heard.at_s > (handEvery_s ?? channel.silence_s),
    isBelieved: inCharge >= 0,
  }
}

function latestChannel(program: Program, state: EngineState, quantity: number): number {
  let latest = -1
  program.channels.forEach((channel, number) => {
    if (channel.quantity !== quantity) return
    const at_s = state.channels[number]?.at_s ?? null
    if (at_s !== null && at_s > (state.channels[latest]?.at_s ?? Number.NEGATIVE_INFINITY)) latest = number
  })
  return latest
}
