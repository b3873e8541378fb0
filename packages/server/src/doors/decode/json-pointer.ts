/**
 * JSON Pointer (RFC 6901): names one value inside a JSON document, as "/readings/0/temperature". In a token, ~1 is a slash
 * and ~0 a tilde. A pointer that begins with # is the form for URI fragments, percent-encoded.
 */
export type Pointer = readonly string[]

export type ParsedPointer =
  | { readonly ok: true; readonly tokens: Pointer }
  | { readonly ok: false; readonly message: string }

export function parsePointer(text: string): ParsedPointer {
  let plain = text
  if (text.startsWith('#')) {
    try {
      plain = decodeURIComponent(text.slice(1))
    } catch {
      return wrong(
        `The pointer ${shown(text)} has a % that is not followed by two hexadecimal digits of UTF-8.`,
      )
    }
  }
  if (plain === '') return { ok: true, tokens: [] }
  if (!plain.startsWith('/')) {
    return wrong(`The pointer ${shown(text)} must be empty or begin with a slash, as in /temperature.`)
  }
  const parts = plain.slice(1).split('/')
  if (parts.some(part => /~(?![01])/.test(part))) {
    return wrong(`In the pointer ${shown(text)} a tilde must be written ~0, and a slash inside a name ~1.`)
  }
  // ~1 first: ~01 stands for the two characters ~1.
  return { ok: true, tokens: parts.map(part => part.replaceAll('~1', '/').replaceAll('~0', '~')) }
}

export type LookedUp =
  | { readonly found: true; readonly value: unknown }
  | { readonly found: false; readonly message: string }

/** Only what the document itself holds is found, nothing that its objects inherit. Never throws. */
export function lookUp(document: unknown, pointer: Pointer): LookedUp {
  let value = document
  for (const [depth, token] of pointer.entries()) {
    const step = lookUpToken(value, token)
    if (!step.found) {
      return {
        found: false,
        message: `${sayPointer(pointer.slice(0, depth + 1))} is not there: ${step.message}`,
      }
    }
    value = step.value
  }
  return { found: true, value }
}

export function sayPointer(pointer: Pointer): string {
  return shown(pointer.map(token => `/${token.replaceAll('~', '~0').replaceAll('/', '~1')}`).join(''))
}

function lookUpToken(value: unknown, token: string): LookedUp {
  if (Array.isArray(value)) {
    if (token === '-') return missing('"-" names the element behind the last, which does not exist.')
    if (!/^(?:0|[1-9]\d{0,8})$/.test(token)) {
      return missing(
        'it is looked for in an array, whose elements are counted from 0, without leading zeros.',
      )
    }
    const index = Number(token)
    return index < value.length
      ? { found: true, value: value[index] }
      : missing(`the array has ${value.length} elements.`)
  }
  if (typeof value !== 'object' || value === null) return missing('it is looked for in a single value.')
  return Object.hasOwn(value, token)
    ? { found: true, value: (value as Readonly<Record<string, unknown>>)[token] }
    : missing('the object has no such name.')
}

function missing(message: string): LookedUp {
  return { found: false, message }
}

function wrong(message: string): ParsedPointer {
  return { ok: false, message }
}

function shown(text: string): string {
  return JSON.stringify(text.length > 80 ? `${text.slice(0, 80)}…` : text)
}
