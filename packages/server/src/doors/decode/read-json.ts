import { LIMITS } from './limits.ts'

export type ReadJson =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly message: string }

const UTF_8 = new TextDecoder('utf-8', { fatal: true })

/** Strict UTF-8, strict JSON (RFC 8259), and not nested more deeply than any message needs. Never throws. */
export function readJson(body: Uint8Array): ReadJson {
  let text: string
  try {
    text = UTF_8.decode(body)
  } catch {
    return { ok: false, message: 'The text is not valid UTF-8; JSON is always sent in UTF-8.' }
  }
  if (text.trim() === '') return { ok: false, message: 'The message is empty; a JSON text belongs in it.' }
  if (isTooDeep(text)) {
    return {
      ok: false,
      message: `The JSON is nested more than ${LIMITS.depth} levels deep; a message needs five.`,
    }
  }
  try {
    return { ok: true, value: JSON.parse(text) as unknown }
  } catch (problem) {
    return { ok: false, message: `This is not JSON: ${problemOf(problem)}.` }
  }
}

/** Before the text is parsed, so that millions of brackets never become millions of objects. */
function isTooDeep(text: string): boolean {
  let depth = 0
  let inString = false
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at)
    if (inString) {
      if (code === 0x5c) at++
      else if (code === 0x22) inString = false
    } else if (code === 0x22) inString = true
    else if (code === 0x5b || code === 0x7b) {
      depth++
      if (depth > LIMITS.depth) return true
    } else if (code === 0x5d || code === 0x7d) depth--
  }
  return false
}

/** NaN is the usual slip of a device whose sensor is gone; the parser's own words stay otherwise. */
function problemOf(problem: unknown): string {
  const message = problem instanceof Error ? problem.message : String(problem)
  if (/token '?N'?/.test(message)) return 'JSON has no NaN; leave the reading out, or send null'
  return message.replace(/[\p{C}\s]+/gu, ' ').slice(0, 160)
}
