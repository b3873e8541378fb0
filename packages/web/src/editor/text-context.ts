/**
 * What is being written at the cursor: a key or a value, and of what. Told from the text before it by its indentation and
 * brackets, so that it also works while the text is no valid YAML, as it mostly is while somebody types.
 */
import { ITEM, type SchemaPath } from '@attemper/core/source-text/schema-walk.ts'

export interface TextContext {
  /** For a key: to the mapping that gets it. For a value: to the value. */
  readonly path: SchemaPath
  /** `either`: on a line of its own, where a value or the first key of a mapping may stand. `item`: a dash is missing. */
  readonly expects: 'key' | 'value' | 'either' | 'item'
  /** What is there already of the word, and where it begins. */
  readonly typed: string
  readonly from: number
  /** In braces or brackets. */
  readonly inFlow: boolean
  /** The keys that this mapping has already, before the cursor and behind it. */
  readonly taken: readonly string[]
  /** In how many spaces a line of this mapping or list begins. */
  readonly indent: number
}

interface Frame {
  readonly kind: 'mapping' | 'list'
  readonly inFlow: boolean
  readonly indent: number
  /** In a list in brackets, a pair without braces is a mapping that ends with its item. */
  readonly isImplicit?: boolean
  key: string | null
  hasValue: boolean
  readonly taken: string[]
}

const KEY =
  /^("(?:[^"\\]|\\.)*"|'(?:[^']|'')*'|[^\s#{}[\]"'-][^#{}[\]"'\n]*?|-[^\s#{}[\]"'\n][^#{}[\]"'\n]*?)\s*:(?=\s|$)/
const BLOCK_SCALAR = /^[|>][+-]?\d?[+-]?\s*(#.*)?$/

/** null in a comment, in a text of several lines, and where nothing can be offered. */
export function contextAt(text: string, at: number): TextContext | null {
  const scanner = new Scanner()
  const start = text.lastIndexOf('\n', at - 1) + 1
  let from = 0
  while (from < start) {
    const end = text.indexOf('\n', from)
    scanner.readLine(text.slice(from, end).replace(/\r$/, ''), from)
    from = end + 1
  }
  const found = scanner.readCursorLine(text.slice(start, at), start)
  if (found === null || (found.expects !== 'key' && found.expects !== 'either')) return found
  return { ...found, taken: [...found.taken, ...keysBehind(text, at, found)] }
}

class Scanner {
  readonly #frames: Frame[] = []
  /** Lines that are indented deeper than this belong to a text of several lines. */
  #textOf: number | null = null
  #quote: string | null = null
  /** Where the word that is being read in braces begins. */
  #wordFrom = 0
  #word = ''
  #inComment = false

  readLine(line: string, offset: number): void {
    if (this.#inFlow && !this.#endsFlow(line)) {
      this.#readFlow(line, 0, offset)
      return
    }
    this.#leaveFlow()
    const indent = indentOf(line)
    if (this.#textOf !== null) {
      if (line.trim() === '' || indent > this.#textOf) return
      this.#textOf = null
    }
    if (line.trim() === '' || line.trimStart().startsWith('#') || line.startsWith('---')) return
    const column = this.#readDashes(line, indent)
    const key = KEY.exec(line.slice(column))
    if (key === null) {
      const top = this.#frames.at(-1)
      if (top !== undefined) top.hasValue = true
      if (/^[{[]/.test(line.slice(column))) this.#readFlow(line, column, offset)
      return
    }
    this.#setKey(unquoted(key[1]!), column)
    this.#readValue(line, column + key[0].length, offset)
  }

  readCursorLine(line: string, offset: number): TextContext | null {
    if (this.#inFlow && !(line.trim() !== '' && this.#endsFlow(line))) {
      this.#readFlow(line, 0, offset)
      return this.#flowContext(line, offset)
    }
    this.#leaveFlow()
    const indent = indentOf(line)
    if (this.#textOf !== null && (line.trim() === '' || indent > this.#textOf)) return null
    const column = this.#readDashes(line, indent)
    const rest = line.slice(column)
    if (/(^|\s)#/.test(rest.replace(/"[^"]*"|'[^']*'/g, ''))) return null
    const key = KEY.exec(rest)
    if (key !== null && key[0].length < rest.length) {
      this.#setKey(unquoted(key[1]!), column)
      const valueAt = column + key[0].length
      this.#readValue(line, valueAt, offset)
      if (this.#inFlow) return this.#flowContext(line, offset)
      if (/^\s*[{[]/.test(line.slice(valueAt))) return null
      return this.#context(
        'value',
        this.#path(),
        line,
        line.length - line.slice(valueAt).trimStart().length,
        offset,
      )
    }
    if (/^[{[]/.test(rest)) {
      this.#readFlow(line, column, offset)
      return this.#inFlow ? this.#flowContext(line, offset) : null
    }
    if (column > indent) return this.#context('either', this.#path(), line, column, offset)
    return this.#lineContext(line, indent, offset)
  }

  /** On a line without a dash and without a colon yet. */
  #lineContext(line: string, indent: number, offset: number): TextContext | null {
    while (this.#top !== undefined && this.#top.indent > indent) this.#frames.pop()
    const list = this.#top?.kind === 'list' && this.#top.indent === indent ? this.#frames.pop() : undefined
    const top = this.#top
    if (top === undefined) return this.#context('key', [], line, indent, offset)
    if (top.kind === 'mapping' && top.indent === indent) {
      return this.#context('key', this.#path(this.#frames.length - 1), line, indent, offset, top.taken)
    }
    if (list !== undefined) return this.#context('item', this.#path(), line, indent, offset)
    if (!top.hasValue) return this.#context('either', this.#path(), line, indent, offset)
    return null
  }

  get #top(): Frame | undefined {
    return this.#frames.at(-1)
  }

  get #inFlow(): boolean {
    return this.#top?.inFlow ?? false
  }

  /** Keys and items on the way to what is being read; of the first `depth` frames. */
  #path(depth = this.#frames.length): SchemaPath {
    return this.#frames
      .slice(0, depth)
      .flatMap(({ kind, key }): SchemaPath => (kind === 'list' ? [ITEM] : key === null ? [] : [key]))
  }

  #context(
    expects: TextContext['expects'],
    path: SchemaPath,
    line: string,
    column: number,
    offset: number,
    taken: readonly string[] = [],
  ): TextContext {
    return {
      path,
      expects,
      typed: line.slice(column),
      from: offset + column,
      inFlow: false,
      taken,
      indent: column,
    }
  }

  #flowContext(line: string, offset: number): TextContext | null {
    if (this.#quote !== null || this.#inComment) return null
    const top = this.#top!
    const end = offset + line.length
    const typed = this.#word.trimStart()
    const isKey = top.kind === 'mapping' && top.key === null
    return {
      path: isKey ? this.#path(this.#frames.length - 1) : this.#path(),
      expects: isKey ? 'key' : top.kind === 'list' ? 'either' : 'value',
      typed,
      from: Math.max(this.#wordFrom, end - typed.length),
      inFlow: true,
      taken: isKey ? top.taken : [],
      indent: top.indent,
    }
  }

  /** Returns the column behind the dashes with which a line begins. */
  #readDashes(line: string, indent: number): number {
    let column = indent
    for (
      let dash = /^-(\s+|$)/.exec(line.slice(column));
      dash !== null;
      dash = /^-(\s+|$)/.exec(line.slice(column))
    ) {
      while (this.#top !== undefined && this.#top.indent > column) this.#frames.pop()
      if (this.#top?.kind !== 'list' || this.#top.indent !== column) {
        if (this.#top !== undefined) this.#top.hasValue = true
        this.#frames.push({
          kind: 'list',
          inFlow: false,
          indent: column,
          key: null,
          hasValue: false,
          taken: [],
        })
      }
      this.#top!.hasValue = false
      column += dash[0].length
    }
    return column
  }

  #setKey(key: string, column: number): void {
    while (
      this.#top !== undefined &&
      (this.#top.indent > column || (this.#top.kind === 'list' && this.#top.indent === column))
    )
      this.#frames.pop()
    if (this.#top?.kind !== 'mapping' || this.#top.indent !== column) {
      if (this.#top !== undefined) this.#top.hasValue = true
      this.#frames.push({
        kind: 'mapping',
        inFlow: false,
        indent: column,
        key: null,
        hasValue: false,
        taken: [],
      })
    }
    const top = this.#top!
    top.key = key
    top.hasValue = false
    top.taken.push(key)
  }

  #readValue(line: string, column: number, offset: number): void {
    const value = line.slice(column).trimStart()
    if (value === '' || value.startsWith('#')) return
    this.#top!.hasValue = true
    if (BLOCK_SCALAR.test(value)) this.#textOf = this.#top!.indent
    else if (/^[{[]/.test(value)) this.#readFlow(line, line.length - value.length, offset)
  }

  /** Brackets that nobody has closed end where a line is indented as little as what stands around them. */
  #endsFlow(line: string): boolean {
    if (line.trim() === '' || /^\s*[}\]]/.test(line)) return false
    const around = this.#frames.findLast(({ inFlow }) => !inFlow)
    return around !== undefined && indentOf(line) <= around.indent
  }

  #leaveFlow(): void {
    while (this.#inFlow) this.#frames.pop()
    this.#quote = null
  }

  #readFlow(line: string, column: number, offset: number): void {
    this.#inComment = false
    for (let at = column; at < line.length; at++) {
      const letter = line[at]!
      if (this.#quote !== null) {
        if (letter === '\\' && this.#quote === '"') at += 1
        else if (letter === this.#quote) this.#quote = null
        this.#word += letter
      } else if (letter === '#' && /\s/.test(line[at - 1] ?? ' ')) {
        this.#inComment = true
        return
      } else if (/["']/.test(letter) && this.#word.trim() === '') {
        this.#quote = letter
        this.#word += letter
      } else if (!this.#readSign(letter, line[at + 1], offset + at + 1)) this.#word += letter
      if (!this.#inFlow) return
    }
  }

  /** Whether it was a sign that divides. */
  #readSign(letter: string, next: string | undefined, behind: number): boolean {
    const top = this.#top
    const isEnd = next === undefined || /[\s,\]}[{]/.test(next)
    if (letter === '{' || letter === '[') {
      if (top !== undefined) top.hasValue = true
      this.#push(letter === '{' ? 'mapping' : 'list')
    } else if (letter === '}' || letter === ']') {
      if (top?.isImplicit) this.#frames.pop()
      if (this.#inFlow) this.#frames.pop()
    } else if (letter === ',') {
      if (top?.isImplicit) this.#frames.pop()
      if (this.#top?.kind === 'mapping') this.#top.key = null
    } else if (letter === ':' && isEnd && top?.key === null) {
      const key = unquoted(this.#word.trim())
      if (top.kind === 'list') this.#push('mapping', true)
      this.#top!.key = key
      this.#top!.taken.push(key)
    } else return false
    this.#word = ''
    this.#wordFrom = behind
    return true
  }

  #push(kind: Frame['kind'], isImplicit = false): void {
    const indent = this.#top?.indent ?? 0
    this.#frames.push({ kind, inFlow: true, indent, isImplicit, key: null, hasValue: false, taken: [] })
  }
}

function indentOf(line: string): number {
  return line.length - line.trimStart().length
}

function unquoted(key: string): string {
  return key.replace(/^(["'])(.*)\1$/, '$2').replace(/\s+/g, ' ')
}

/** Keys of the same mapping behind the cursor. */
function keysBehind(text: string, at: number, { inFlow, indent }: TextContext): readonly string[] {
  return inFlow ? flowKeysBehind(text.slice(at)) : blockKeysBehind(text.slice(at), indent)
}

function blockKeysBehind(rest: string, indent: number): readonly string[] {
  const keys: string[] = []
  for (const line of rest.split('\n').slice(1)) {
    if (line.trim() === '' || line.trimStart().startsWith('#')) continue
    const own = indentOf(line)
    if (own < indent) break
    if (own > indent) continue
    const key = KEY.exec(line.slice(own))
    if (key === null) break
    keys.push(unquoted(key[1]!))
  }
  return keys
}

function flowKeysBehind(rest: string): readonly string[] {
  const keys: string[] = []
  let depth = 0
  let word = ''
  for (let at = 0; at < rest.length && depth >= 0; at++) {
    const letter = rest[at]!
    if (/[{[]/.test(letter)) depth += 1
    else if (/[}\]]/.test(letter)) depth -= 1
    else if (depth === 0 && letter === ':' && /[\s,}]/.test(rest[at + 1] ?? ' '))
      keys.push(unquoted(word.trim()))
    if (depth === 0 && letter === ',') word = ''
    else word += letter
  }
  return keys
}
