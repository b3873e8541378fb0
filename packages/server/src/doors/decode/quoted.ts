/** Something that a sender wrote, made fit to stand in a sentence: short, and without control characters. */
export function quoted(written: unknown): string {
  const text = typeof written === 'string' ? written : String(JSON.stringify(written) ?? typeof written)
  const plain = text.replace(/[\p{C}\s]+/gu, ' ')
  return `“${plain.length > 60 ? `${plain.slice(0, 60)}…` : plain}”`
}
