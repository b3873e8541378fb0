/** Where the line of an offset begins. */
export function lineStart(text: string, offset: number): number {
  return text.lastIndexOf('\n', offset - 1) + 1
}

/** Where the line of an offset ends, before its line end. */
export function lineEnd(text: string, offset: number): number {
  const end = text.indexOf('\n', offset)
  if (end === -1) return text.length
  return end > offset && text[end - 1] === '\r' ? end - 1 : end
}

/** How many spaces the line of an offset begins with. */
export function indentOf(text: string, offset: number): number {
  const start = lineStart(text, offset)
  let at = start
  while (text[at] === ' ') at += 1
  return at - start
}

/** How many characters stand before an offset in its line. */
export function columnOf(text: string, offset: number): number {
  return offset - lineStart(text, offset)
}

/** How lines end in this text. */
export function newlineOf(text: string): string {
  return text.includes('\r\n') ? '\r\n' : '\n'
}
