import { encodingByMark } from '../text-file.ts'

export interface Decoded {
  readonly text: string
  /** What was assumed, when the bytes did not say. */
  readonly note: string | null
}

/**
 * Text from the bytes that a logger or a spreadsheet wrote: by the byte-order mark; else UTF-16 when every other byte is
 * mostly zero; else UTF-8 when it is valid; else Windows-1252, which holds Latin-1 (WHATWG Encoding Standard).
 */
export function decode(bytes: Uint8Array): Decoded {
  const marked = encodingByMark(bytes)
  if (marked !== null) return { text: new TextDecoder(marked).decode(bytes), note: null }
  const wide = wideEncoding(bytes)
  if (wide !== null) {
    return {
      text: new TextDecoder(wide).decode(bytes),
      note: `read as ${wide.toUpperCase()}: every other byte is zero`,
    }
  }
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), note: null }
  } catch {
    const note = 'read as Windows-1252 (Latin-1): it is not valid UTF-8'
    return { text: new TextDecoder('windows-1252').decode(bytes), note }
  }
}

function wideEncoding(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const sample = bytes.subarray(0, 1000)
  if (sample.length < 4) return null
  const zeros = [0, 0]
  for (const [index, byte] of sample.entries()) if (byte === 0) zeros[index % 2]! += 1
  const half = sample.length / 2
  if (zeros[1]! > half * 0.8 && zeros[0]! < half * 0.1) return 'utf-16le'
  return zeros[0]! > half * 0.8 && zeros[1]! < half * 0.1 ? 'utf-16be' : null
}
