export const DEEPEST = 32

const QUOTE = 0x22
const BACKSLASH = 0x5c

/**
 * Whether a JSON text nests arrays and objects deeper than `deepest`. It looks at bytes, before anything is built from
 * them; in UTF-8 no byte of a longer character looks like a bracket or a quote.
 */
export function nestsDeeper(json: Uint8Array, deepest = DEEPEST): boolean {
  let depth = 0
  let inString = false
  for (let i = 0; i < json.length; i += 1) {
    const byte = json[i]
    if (inString) {
      if (byte === BACKSLASH) i += 1
      else if (byte === QUOTE) inString = false
    } else if (byte === QUOTE) inString = true
    // [ and {, ] and }: they differ only in the bit 0x20.
    else if (byte === 0x5b || byte === 0x7b) {
      depth += 1
      if (depth > deepest) return true
    } else if (byte === 0x5d || byte === 0x7d) depth -= 1
  }
  return false
}
