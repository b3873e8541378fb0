import { type DecodeContext, type Decoded, refuseAll } from './decode-context.ts'
import { decodeMapped } from './decode-mapped.ts'
import { decodeSenml } from './decode-senml.ts'
import { LIMITS } from './limits.ts'
import type { Mapping } from './mapping.ts'
import { quoted } from './quoted.ts'
import { readJson } from './read-json.ts'
import { readSenmlCbor } from './senml-cbor.ts'

const JSON_TYPES = new Set([
  'application/senml+json',
  'application/sensml+json',
  'application/json',
  'text/json',
])
const CBOR_TYPES = new Set(['application/senml+cbor', 'application/sensml+cbor', 'application/cbor'])

/**
 * What a message says: readings with the names of the vessel files and in their own units, and what was refused, each with
 * its position, a code and a sentence. SenML (RFC 8428) in JSON or CBOR, or any JSON through a mapping. Without a content
 * type the first byte decides. Never throws, whatever the body.
 */
export function decode(contentType: string | undefined, body: Uint8Array, context: DecodeContext): Decoded {
  if (body.length > LIMITS.bytes) {
    const message = `The message has ${body.length} bytes; send at most ${LIMITS.bytes} at a time.`
    return refuseAll(message, 'too-many')
  }
  const type = mediaType(contentType) ?? sniffedType(body)
  const mapping = mappingOf(context)
  if (typeof mapping === 'string') return refuseAll(mapping)
  if (CBOR_TYPES.has(type)) {
    const read = readSenmlCbor(body)
    return read.ok ? decodeSenml(read.value, context) : refuseAll(read.message)
  }
  if (!JSON_TYPES.has(type)) {
    return refuseAll(
      `${quoted(type)} is not understood here; send application/senml+json, application/senml+cbor or application/json.`,
    )
  }
  const read = readJson(body)
  if (!read.ok) return refuseAll(read.message)
  const isSenml = type.includes('ml+json')
  if (mapping !== null && !isSenml) return decodeMapped(read.value, mapping, context)
  if (isSenml || Array.isArray(read.value)) return decodeSenml(read.value, context)
  return refuseAll(
    'This JSON is no SenML pack (an array of records), and no mapping was named that says how to read it.',
  )
}

function mediaType(contentType: string | undefined): string | null {
  const type = contentType?.split(';', 1)[0]?.trim().toLowerCase()
  return type === undefined || type === '' ? null : type
}

/** An array in CBOR begins with a byte from 0x80 to 0x9f, which can not begin a text in UTF-8. */
function sniffedType(body: Uint8Array): string {
  const first = body[0] ?? 0
  return first >= 0x80 && first <= 0x9f ? 'application/senml+cbor' : 'application/json'
}

function mappingOf({ mapping, mappings }: DecodeContext): Mapping | string | null {
  if (mapping === undefined) return null
  if (typeof mapping !== 'string') return mapping
  if (mappings !== undefined && Object.hasOwn(mappings, mapping)) return mappings[mapping]!
  const known = Object.keys(mappings ?? {})
  const cure = known.length === 0 ? 'None is set for this vessel.' : `There are: ${known.join(', ')}.`
  return `There is no mapping ${quoted(mapping)}. ${cure}`
}
