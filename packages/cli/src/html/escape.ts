/**
 * Text for an HTML page: nothing in it can open a tag, an attribute or an entity. A number stays on one line with its
 * unit.
 */
export function escapeHtml(text: string): string {
  return text
    .replace(/[&<>"']/g, character => ENTITIES[character]!)
    .replace(/(\d) (%|°[CFP]|h|d|min|days?|hours?|points?)(?![\p{L}\d])/gu, '$1\u00a0$2')
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

/** Data for a script element: still JSON, but without the characters that could end the element or a line of script. */
export function escapeJson(value: unknown): string {
  return JSON.stringify(value)
    .replace(/</g, '\\u003c')
    .replace(/\u2028/g, '\\u2028')
    .replace(/\u2029/g, '\\u2029')
}
