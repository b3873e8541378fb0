import {
  type DecodeContext,
  type Decoded,
  type Found,
  type Part,
  refuseAll,
  sortParts,
} from './decode-context.ts'
import { LIMITS } from './limits.ts'
import { findStream, reportOn } from './make-report.ts'
import { quoted } from './quoted.ts'
import { type ResolvedRecord, resolveSenml } from './senml-resolve.ts'
import { timeFrom } from './time-format.ts'

/** Below this a time is relative to now (RFC 8428 section 4.5.3). */
const RELATIVE_BELOW_S = 2 ** 28

/** A SenML pack, read from JSON or CBOR, whose names are vessel/instrument/quantity. */
export function decodeSenml(pack: unknown, context: DecodeContext): Decoded {
  if (!Array.isArray(pack))
    return refuseAll('A SenML pack is an array of records; here stands something else.')
  if (pack.length === 0) return refuseAll('The SenML pack is empty; it needs at least one record.')
  if (pack.length > LIMITS.records) {
    return refuseAll(
      `The pack has ${pack.length} records; send at most ${LIMITS.records} at a time.`,
      'too-many',
    )
  }
  const { records, refused: faulty } = resolveSenml(pack)
  const parts: Part[] = faulty.map(refusal => ({ refusal }))
  const found = new Map<string, Found>()
  for (const record of records) {
    let stream = found.get(record.n)
    if (stream === undefined) {
      stream = streamOf(record.n, context)
      found.set(record.n, stream)
    }
    parts.push(reportOf(record, stream, context))
  }
  return sortParts(parts)
}

/** What a name of SenML stands for. */
function streamOf(n: string, context: DecodeContext): Found {
  const parts = n.split('/')
  const least = context.vessel === undefined ? 3 : 2
  if (parts.length < least || parts.length > 3 || parts.includes('')) {
    const shape = least === 3 ? 'vessel/instrument/quantity' : 'instrument/quantity'
    const message = `The name ${quoted(n)} does not say what was read; write it as ${shape}.`
    return { found: false, code: 'wrong-shape', message }
  }
  const [quantity, instrument, vessel] = parts.toReversed() as [string, string, string | undefined]
  return findStream({ vessel, instrument, quantity }, context)
}

function reportOf({ index, n, u, t, v }: ResolvedRecord, stream: Found, context: DecodeContext): Part {
  if (v === undefined) {
    const message = `${quoted(n)} carries no number in "v"; texts, switches, data and sums are not readings.`
    return { refusal: { index, code: 'not-a-number', message } }
  }
  const time = timeFrom(t < RELATIVE_BELOW_S ? context.now_ms + t * 1000 : t * 1000)
  return reportOn(stream, { index, value: v, unit: u, time })
}
