import { type DecodeContext, type Decoded, type Part, refuseAll, sortParts } from './decode-context.ts'
import { lookUp, type Pointer, parsePointer, sayPointer } from './json-pointer.ts'
import { LIMITS } from './limits.ts'
import { makeReport } from './make-report.ts'
import { faultsOfMapping, type Mapping } from './mapping.ts'
import { quoted } from './quoted.ts'
import { type ReadTime, readTime } from './time-format.ts'

/** Reads a JSON document through a mapping. Refusals count items; without `items` all have the index 0. */
export function decodeMapped(document: unknown, mapping: Mapping, context: DecodeContext): Decoded {
  const faults = faultsOfMapping(mapping)
  if (faults.length > 0) return refuseAll(`The mapping is faulty. ${faults.join(' ')}`)
  const items = itemsOf(document, mapping)
  if (!Array.isArray(items)) return items as Decoded
  if (items.length * mapping.readings.length > LIMITS.records) {
    const message = `The message has ${items.length} items with ${mapping.readings.length} readings each; send at most ${LIMITS.records} readings at a time.`
    return refuseAll(message, 'too-many')
  }
  const parts: Part[] = []
  const pointers = mapping.readings.map(({ at }) => pointerOf(at))
  for (const [index, item] of items.entries()) {
    const time = timeOf(item, mapping, context)
    for (const [number, { quantity, instrument, unit }] of mapping.readings.entries()) {
      const pointer = pointers[number]!
      const looked = lookUp(item, pointer)
      if (!looked.found) {
        parts.push({ refusal: { index, code: 'wrong-shape', message: looked.message } })
        continue
      }
      const made = makeReport(
        {
          index,
          vessel: context.vessel,
          instrument: instrument ?? mapping.instrument ?? '',
          quantity,
          value: numberFrom(looked.value),
          unit,
          time,
        },
        context,
      )
      parts.push(
        'report' in made
          ? made
          : { refusal: { ...made.refusal, message: `${sayPointer(pointer)}: ${made.refusal.message}` } },
      )
    }
  }
  return sortParts(parts)
}

function itemsOf(document: unknown, mapping: Mapping): readonly unknown[] | Decoded {
  if (mapping.items === undefined) return [document]
  const looked = lookUp(document, pointerOf(mapping.items))
  if (!looked.found) return refuseAll(looked.message)
  return Array.isArray(looked.value)
    ? looked.value
    : refuseAll(`At ${quoted(mapping.items)} should stand an array of items.`)
}

function timeOf(item: unknown, { time }: Mapping, { now_ms }: DecodeContext): ReadTime {
  if (time === undefined) return { ok: true, at_ms: now_ms }
  const looked = lookUp(item, pointerOf(time.at))
  return looked.found ? readTime(looked.value, time.format) : { ok: false, message: looked.message }
}

function pointerOf(text: string): Pointer {
  const parsed = parsePointer(text)
  return parsed.ok ? parsed.tokens : []
}

/** Many devices put their numbers into quotation marks. */
export function numberFrom(value: unknown): unknown {
  return typeof value === 'string' && /^\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?\s*$/i.test(value)
    ? Number(value)
    : value
}
