import { sameName } from '../slug.ts'
import type { DecodeContext, Part } from './decode-context.ts'
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
  const { index, instrument, quantity, value, unit, time } = spoken
  const vessel = spoken.vessel ?? context.vessel
  if (vessel === undefined) {
    return {
      refusal: {
        index,
        code: 'unknown-vessel',
        message: 'The message does not say of which vessel this is.',
      },
    }
  }
  if (context.vessel !== undefined && !sameName(vessel, context.vessel)) {
    const message = `This door is that of ${quoted(context.vessel)}; it takes nothing for ${quoted(vessel)}.`
    return { refusal: { index, code: 'unknown-vessel', message } }
  }
  const stream = { vessel: context.vessel ?? vessel, instrument, quantity }
  const found = context.names?.find(stream) ?? { found: true, stream }
  if (!found.found) return { refusal: { index, code: found.code, message: found.message } }
  if (!time.ok) return { refusal: { index, code: 'wrong-shape', message: time.message } }
  const converted = inOwnUnit(value, unit, found.stream.quantity)
  if (!converted.ok) return { refusal: { index, code: converted.code, message: converted.message } }
  return { index, report: { ...found.stream, value: converted.value, at_ms: time.at_ms, status: 'good' } }
}
