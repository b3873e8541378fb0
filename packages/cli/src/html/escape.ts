/** Text for an HTML page: nothing in it can open a tag, an attribute or an entity. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, character => ENTITIES[character]!)
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

/** JSON for a script element: still JSON, but without the characters that could end the element or a line of script. */
export function escapeJson(json: string): string {
  return json
    .replace(/</g, '\\u003c')
    .replace(/\u2028/g, '\\u2028')
    .replace(/\u2029/g, '\\u2029')
}

/** A script for a script element: no comment and no string of it can end the element, or begin another. */
export function escapeScript(script: string): string {
  return script.replace(/<(?=!--|\/?script)/gi, '\\x3c')
}
