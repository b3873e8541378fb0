import { decode } from 'cborg'

/** Labels of SenML in CBOR (RFC 8428 section 6, table 4). */
const LABELS: ReadonlyMap<number, string> = new Map([
  [-1, 'bver'],
  [-2, 'bn'],
  [-3, 'bt'],
  [-4, 'bu'],
  [-5, 'bv'],
  [-6, 'bs'],
  [0, 'n'],
  [1, 'u'],
  [2, 'v'],
  [3, 'vs'],
  [4, 'vb'],
  [5, 's'],
  [6, 't'],
  [7, 'ut'],
  [8, 'vd'],
])

const DECIMAL_FRACTION = 4

export type ReadCbor =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly message: string }

/** A pack in CBOR as the same pack would be in JSON, with its labels by name. Never throws. */
export function readSenmlCbor(body: Uint8Array): ReadCbor {
  try {
    const value: unknown = decode(body, {
      useMaps: true,
      rejectDuplicateMapKeys: true,
      tags: { [DECIMAL_FRACTION]: inner => decimalFraction(inner()) },
    })
    return { ok: true, value: Array.isArray(value) ? value.map(named) : value }
  } catch (problem) {
    const words = problem instanceof Error ? problem.message : String(problem)
    return { ok: false, message: `This is not CBOR: ${words.replace(/[\p{C}\s]+/gu, ' ').slice(0, 160)}.` }
  }
}

function named(record: unknown): unknown {
  if (!(record instanceof Map)) return record
  return Object.fromEntries(
    [...(record as ReadonlyMap<unknown, unknown>)].map(([label, value]) => [
      typeof label === 'number' ? (LABELS.get(label) ?? String(label)) : String(label),
      typeof value === 'bigint' ? Number(value) : value,
    ]),
  )
}

/** [exponent, mantissa] of ten (RFC 8949 section 3.4.4), which small devices send because it is exact. */
function decimalFraction(parts: unknown): number {
  if (!Array.isArray(parts) || parts.length !== 2) return Number.NaN
  const [exponent, mantissa] = parts.map(Number) as [number, number]
  return exponent < 0 ? mantissa / 10 ** -exponent : mantissa * 10 ** exponent
}
