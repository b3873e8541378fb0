import { sameName } from '../slug.ts'
import type { DecodeContext, Found, Part } from './decode-context.ts'
import { inOwnUnit } from './own-unit.ts'
import { quoted } from './quoted.ts'
import type { ReadTime } from './time-format.ts'

/** One reading as any payload gives it; what is left out of the names comes from the door. */
export interface Spoken {
  readonly index: number
  readonly vessel: string | undefined
  readonly instrument: string
  readonly quantity: string
  readonly value: unknown
  readonly unit: string | undefined
  readonly time: ReadTime
}

/** Gives it the names of the vessel file and the quantity's own unit, or refuses it. */
export function makeReport(spoken: Spoken, context: DecodeContext): Part {
  return reportOn(findStream(spoken, context), spoken)
}

/** What the names stand for; a message often holds many readings of the same. */
export function findStream(
  spoken: Pick<Spoken, 'vessel' | 'instrument' | 'quantity'>,
  context: DecodeContext,
): Found {
  const { instrument, quantity } = spoken
  const vessel = spoken.vessel ?? context.vessel
  if (vessel === undefined) {
    return {
      found: false,
      code: 'unknown-vessel',
      message: 'The message does not say of which vessel this is.',
    }
  }
  if (context.vessel !== undefined && !sameName(vessel, context.vessel)) {
    const message = `This door is that of ${quoted(context.vessel)}; it takes nothing for ${quoted(vessel)}.`
    return { found: false, code: 'unknown-vessel', message }
  }
  const stream = { vessel: context.vessel ?? vessel, instrument, quantity }
  return context.names?.find(stream) ?? { found: true, stream }
}

/** A reading whose names have been looked up, in the quantity's own unit; or why it is refused. */
export function reportOn(
  found: Found,
  { index, value, unit, time }: Pick<Spoken, 'index' | 'value' | 'unit' | 'time'>,
): Part {
  if (!found.found) return { refusal: { index, code: found.code, message: found.message } }
  if (!time.ok) return { refusal: { index, code: 'wrong-shape', message: time.message } }
  const converted = inOwnUnit(value, unit, found.stream.quantity)
  if (!converted.ok) return { refusal: { index, code: converted.code, message: converted.message } }
  const { vessel, instrument, quantity } = found.stream
  return {
    index,
    report: { vessel, instrument, quantity, value: converted.value, at_ms: time.at_ms, status: 'good' },
  }
}
