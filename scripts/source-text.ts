/**
 * TypeScript source with its comments (and, if wanted, the contents of its strings) replaced by blanks of the same
 * length, so that a search finds only code, and offsets and line numbers stay what they were.
 *
 * A small scanner instead of a parser: it knows comments, the three kinds of strings, and regular expressions as far as
 * a slash after an operator, a bracket or a keyword begins one.
 */
export function blankComments(source: string, alsoStrings = false): string {
  const out = source.split('')
  /** For each open `${`: how many braces were open before it. */
  const open: number[] = []
  let braces = 0
  for (let at = 0; at < source.length; ) {
    const { kind, end } = tokenAt(source, at, open.at(-1) === braces)
    const goesOn = kind === 'template' && source.slice(end - 2, end) === '${'
    if (kind === 'comment') blank(out, at, end)
    if (alsoStrings && (kind === 'text' || kind === 'template')) blank(out, at + 1, end - (goesOn ? 2 : 1))
    if (kind === 'template' && source[at] === '}') open.pop()
    if (goesOn) open.push(braces)
    if (kind === 'code') braces += source[at] === '{' ? 1 : source[at] === '}' ? -1 : 0
    at = end
  }
  return out.join('')
}

interface Token {
  readonly kind: 'comment' | 'text' | 'template' | 'code'
  readonly end: number
}

function tokenAt(source: string, at: number, closesExpression: boolean): Token {
  const char = source[at]
  const next = source[at + 1]
  if (char === '/' && next === '/') return { kind: 'comment', end: endOf(source, '\n', at) }
  if (char === '/' && next === '*') return { kind: 'comment', end: endOf(source, '*/', at + 2, 2) }
  if (char === "'" || char === '"') return { kind: 'text', end: endOfQuoted(source, at + 1, char) }
  if (char === '`' || (char === '}' && closesExpression)) {
    return { kind: 'template', end: endOfTemplatePart(source, at + 1) }
  }
  if (char === '/' && beginsExpression(source, at)) {
    return { kind: 'text', end: endOfRegularExpression(source, at + 1) }
  }
  return { kind: 'code', end: at + 1 }
}

function blank(text: string[], from: number, to: number): void {
  for (let at = from; at < to; at++) if (text[at] !== '\n') text[at] = ' '
}

function endOf(source: string, mark: string, from: number, markLength = 0): number {
  const found = source.indexOf(mark, from)
  return found === -1 ? source.length : found + markLength
}

function endOfQuoted(source: string, from: number, quote: string): number {
  let at = from
  while (at < source.length && source[at] !== quote && source[at] !== '\n') at += source[at] === '\\' ? 2 : 1
  return Math.min(at + 1, source.length)
}

/** After the closing backtick, or after the `${` that opens an expression. */
function endOfTemplatePart(source: string, from: number): number {
  let at = from
  while (at < source.length) {
    if (source[at] === '`') return at + 1
    if (source[at] === '$' && source[at + 1] === '{') return at + 2
    at += source[at] === '\\' ? 2 : 1
  }
  return source.length
}

function endOfRegularExpression(source: string, from: number): number {
  let at = from
  let inClass = false
  while (at < source.length && source[at] !== '\n') {
    if (source[at] === '[') inClass = true
    if (source[at] === ']') inClass = false
    if (source[at] === '/' && !inClass) return at + 1
    at += source[at] === '\\' ? 2 : 1
  }
  return at
}

function beginsExpression(source: string, slash: number): boolean {
  const before = source.slice(Math.max(0, slash - 40), slash).trimEnd()
  if (before === '') return true
  return /[(,=:[!&|?{};+\-*%<>~^]$/.test(before) || /\b(?:return|typeof|case|in|of|await)$/.test(before)
}
