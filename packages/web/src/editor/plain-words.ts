/** What the schemas and the findings put between backquotes, between quotation marks, as people read it. */
export function plainWords(text: string): string {
  return text.replace(/`([^`]+)`/g, '“$1”')
}
