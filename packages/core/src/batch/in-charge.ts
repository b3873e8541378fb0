import type { EngineEvent } from '../engine/events.ts'

export type InCharge = Extract<EngineEvent, { kind: 'in charge' }>

/** From when to when an instrument was believed for a quantity, ms. */
export interface Charge {
  readonly instrument: string
  readonly from_ms: number
  readonly to_ms: number
}

/**
 * Whom the engine believed for a quantity, one instrument after the other; while nobody was believed there is none. The
 * last one goes on until `to_ms`.
 */
export function chargesOf(events: readonly InCharge[], quantity: string, to_ms: number): readonly Charge[] {
  const charges: Charge[] = []
  const told = events.filter(event => event.quantity === quantity)
  told.forEach(({ instrument, at_s }, n) => {
    const end_ms = Math.min(to_ms, (told[n + 1]?.at_s ?? Number.POSITIVE_INFINITY) * 1000)
    if (instrument !== null && end_ms > at_s * 1000) {
      charges.push({ instrument, from_ms: at_s * 1000, to_ms: end_ms })
    }
  })
  return charges
}
