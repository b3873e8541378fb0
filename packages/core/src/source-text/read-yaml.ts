import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  Lexer,
  type Node,
  parseDocument,
  type YAMLError,
} from 'yaml'
import type { Place } from '../place.ts'
import { misindented } from './misindented.ts'
import type { Reading } from './reading.ts'
import type { SourceEntry, SourceNode } from './source-node.ts'

/** A plan has a few thousand characters. */
export const MOST_CHARACTERS = 1_000_000
const DEEPEST = 40
const MOST_NODES = 20_000
/** Words and signs, line ends and spaces among them; the parser's time grows faster than their number. */
const MOST_TOKENS = 60_000
const MOST_ALIASES = 20
const MOST_SYNTAX_ERRORS = 10

/**
 * Reads YAML 1.2 (and so JSON) into a tree with exact places. null when the text is so wrong that it has no tree; then, and
 * whenever something is wrong, it is reported. Never throws, and is bounded in time and memory: long texts, deep nesting,
 * alias bombs and binary files are refused before they cost anything.
 *
 * All scalars are kept as text (YAML's failsafe schema), so 1.050, no and 08:00 keep their spelling.
 */
export function readYaml(reading: Reading): SourceNode | null {
  if (!isPlausible(reading)) return null
  try {
    const document = parseDocument(reading.text, {
      version: '1.2',
      schema: 'failsafe',
      // The package compares each key with all others, which is quadratic; duplicates are looked for below.
      uniqueKeys: false,
      prettyErrors: false,
      // 'silent' would also keep quiet about a second document.
      logLevel: 'error',
    })
    if (document.errors.length > 0) {
      if (!reportMisindented(reading)) {
        for (const error of document.errors.slice(0, MOST_SYNTAX_ERRORS)) reportSyntax(error, reading)
      }
      return null
    }
    return new TreeBuilder(document, reading).build()
  } catch (error) {
    // The parser is recursive: what has got past the checks above can still exhaust the stack.
    if (error instanceof RangeError) reportDepth(reading, 0)
    else {
      reading.report(
        'yaml-syntax',
        reading.placeAt(0, 1),
        'The text cannot be read as YAML.',
        'Compare it with one of the examples.',
      )
    }
    return null
  }
}

function isPlausible(reading: Reading): boolean {
  const { text } = reading
  if (text.length > MOST_CHARACTERS) {
    reading.report(
      'too-large',
      reading.placeAt(0, 1),
      `The text has ${text.length} characters; more than ${MOST_CHARACTERS} are not read.`,
      'Check that it is the right file: a plan has a few thousand characters.',
    )
    return false
  }
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are looked for on purpose
  const strange = /[\x00-\x08\x0B\x0C\x0E-\x1F\x7F\uFFFD-\uFFFF]/.exec(text)
  if (strange !== null) {
    reading.report(
      'not-text',
      reading.placeAt(strange.index, 1),
      strange[0] === '\uFFFD'
        ? 'Here stands a letter that could not be read, because the file is not in UTF-8.'
        : `Here stands a control character (code ${strange[0].charCodeAt(0)}), which no text has.`,
      'Save the file as plain text in UTF-8.',
    )
    return false
  }
  return isShallow(reading) && hasFewTokens(reading)
}

/** Counts brackets and leading dashes without regard to quotes, which is coarse but cannot itself be overloaded. */
function isShallow(reading: Reading): boolean {
  const { text } = reading
  const most = 4 * DEEPEST
  let open = 0
  let dashes = 0
  for (let at = 0; at < text.length; at++) {
    const letter = text.charCodeAt(at)
    if (letter === 0x5b || letter === 0x7b) open += 1
    else if (letter === 0x5d || letter === 0x7d) open = Math.max(0, open - 1)
    if (letter === 0x2d || letter === 0x3f || letter === 0x3a) dashes += 1
    else if (letter !== 0x20) dashes = 0
    if (open > most || (dashes > most && isNested(text, at))) {
      reportDepth(reading, at)
      return false
    }
  }
  return true
}

/** "- - -" nests, a ruled line "-----" does not. */
function isNested(text: string, at: number): boolean {
  return text[at - 1] === ' '
}

function hasFewTokens(reading: Reading): boolean {
  let tokens = 0
  let offset = 0
  for (const token of new Lexer().lex(reading.text)) {
    tokens += 1
    if (tokens > MOST_TOKENS) {
      reportNumber(reading, reading.placeAt(offset, 1))
      return false
    }
    if (!MARKS.has(token)) offset += token.length
  }
  return true
}

/** The lexer's own marks (document begins, flow ends in error, a scalar follows), which are not in the text. */
const MARKS: ReadonlySet<string> = new Set(['\u0002', '\u0018', '\u001F'])

function reportNumber(reading: Reading, place: Place) {
  reading.report(
    'too-many',
    place,
    'The text has more entries than are read.',
    'Check that it is the right file: a plan has a few hundred entries.',
  )
}

function reportDepth(reading: Reading, offset: number) {
  reading.report(
    'too-deep',
    reading.placeAt(offset, 1),
    `Mappings and lists stand within one another more than ${DEEPEST} deep.`,
    'Check that brackets are closed, and that each list item begins on a line of its own.',
  )
}

interface Syntax {
  /** Of the parser's code or its words, whichever tells the faults apart. */
  readonly pattern: RegExp
  /** Where the parser's own words would not help a brewer. */
  readonly message?: string
  readonly cure: string
}

const QUOTE =
  'Put a text that begins with a special character, or holds a colon and a space, into quotation marks.'

/** The first one that fits counts. */
const SYNTAX: readonly Syntax[] = [
  { pattern: /TAB_AS_INDENT/, cure: 'Indent with spaces, not with tabs.' },
  {
    pattern: /end with a }/,
    message: 'a { has no } to close it',
    cure: 'Add the missing }, or remove the {.',
  },
  {
    pattern: /end with a ]/,
    message: 'a [ has no ] to close it',
    cure: 'Add the missing ], or remove the [.',
  },
  {
    pattern: /Sequence item without|BAD_INDENT|should start on|indented at the same/,
    message: 'this line is not indented like the lines to which it belongs',
    cure: 'Indent all keys of one mapping, and all dashes of one list, by the same number of spaces.',
  },
  {
    pattern: /Missing closing/,
    message: 'a quotation mark has no other one to close it',
    cure: 'Add the missing quotation mark.',
  },
  {
    pattern: /BLOCK_AS_IMPLICIT_KEY/,
    message: 'a second key begins in the same line',
    cure: 'Put a text that holds a colon and a space into quotation marks, or begin a new line.',
  },
  {
    pattern: /MULTIPLE_DOCS/,
    message: 'a second document begins here',
    cure: 'Keep one plan, vessel or beer in a file, without a line of three dashes in the middle.',
  },
  { pattern: /UNEXPECTED_TOKEN/, message: 'this cannot stand here', cure: QUOTE },
  { pattern: /BAD_ALIAS|BAD_SCALAR_START|reserved character/, cure: QUOTE },
  {
    pattern: /BLOCK_IN_FLOW/,
    cure: 'Within { } and [ ], separate entries by commas instead of new lines.',
  },
  {
    // What an editor shows most often, because a key has no colon before it is typed to its end.
    pattern: /MULTILINE_IMPLICIT_KEY|Implicit map keys/,
    message: 'a colon or a comma is missing here',
    cure: 'Put a colon and a space behind a key, and a comma between entries within { } and [ ].',
  },
  {
    pattern: /MISSING_CHAR|IMPLICIT_KEY|KEY_OVER/,
    cure: 'Write a key on one line, with a colon and a space behind it, and close every bracket.',
  },
]

/** One line that is indented wrongly makes the parser complain of others; false: none is. */
function reportMisindented(reading: Reading): boolean {
  const found = misindented(reading.text)
  if (found === null) return false
  const spaces = (count: number) => `${count} space${count === 1 ? '' : 's'}`
  reading.report(
    'yaml-syntax',
    reading.placeAt(found.offset + found.has, found.length - found.has),
    `This line is indented by ${spaces(found.has)}, like no line to which it could belong.`,
    `Indent it by ${spaces(found.wants)}, like line ${found.like}.`,
  )
  return true
}

function reportSyntax(error: YAMLError, reading: Reading) {
  const [from, to] = error.pos
  const offset = Math.min(from, Math.max(0, reading.text.length - 1))
  const own = error.message.split('\n', 1)[0]!.replace(/[.:]?\s*$/, '')
  const found = SYNTAX.find(({ pattern }) => pattern.test(`${error.code} ${own}`))
  reading.report(
    'yaml-syntax',
    reading.placeAt(offset, to - from),
    `This is not valid YAML: ${found?.message ?? own}.`,
    found?.cure ?? 'Compare it with one of the examples.',
  )
}

class TreeBuilder {
  readonly #document: Document.Parsed
  readonly #reading: Reading
  #nodes = 0
  #aliases = 0
  #broken = false

  constructor(document: Document.Parsed, reading: Reading) {
    this.#document = document
    this.#reading = reading
  }

  build(): SourceNode | null {
    const root = this.#convert(this.#document.contents, 0, 0)
    return this.#broken ? null : root
  }

  #convert(node: unknown, at: number, depth: number): SourceNode {
    const [from, to] = isNode(node) && node.range ? node.range : [at, at]
    const place = this.#reading.placeAt(from, to - from)
    const empty: SourceNode = { kind: 'scalar', text: '', place, verbatimAt: null }
    this.#nodes += 1
    if (this.#broken) return empty
    if (depth > DEEPEST) return this.#stop(empty, () => reportDepth(this.#reading, from))
    if (this.#nodes > MOST_NODES) {
      return this.#stop(empty, () => reportNumber(this.#reading, place))
    }
    if (isAlias(node)) return this.#followAlias(node as Node & { source: string }, empty, depth)
    if (isScalar(node)) {
      const text = typeof node.value === 'string' ? node.value : String(node.value ?? '')
      return { kind: 'scalar', text, place, verbatimAt: this.#verbatim(text, from) }
    }
    if (isSeq(node)) {
      return { kind: 'list', items: node.items.map(item => this.#convert(item, from, depth + 1)), place }
    }
    if (isMap(node)) return { kind: 'mapping', entries: this.#entries(node.items, from, depth), place }
    return empty
  }

  #entries(pairs: readonly { key: unknown; value: unknown }[], at: number, depth: number): SourceEntry[] {
    const seen = new Map<string, number>()
    const entries: SourceEntry[] = []
    for (const pair of pairs) {
      const key = this.#convert(pair.key, at, depth + 1)
      if (this.#broken) return entries
      if (key.kind !== 'scalar') {
        this.#reading.report(
          'wrong-type',
          key.place,
          'A mapping or a list stands here as a key.',
          'Write a key as a word, with a colon and a space behind it.',
        )
        continue
      }
      const keyEnd = key.place.offset + key.place.length
      const value = this.#convert(pair.value, keyEnd, depth + 1)
      const before = seen.get(key.text)
      if (before !== undefined) {
        this.#reading.report(
          'duplicate-key',
          key.place,
          `“${key.text.slice(0, 40)}” stands here a second time; the first is in line ${before}.`,
          'Keep one of the two.',
        )
        continue
      }
      seen.set(key.text, key.place.line)
      entries.push({ key: key.text, keyPlace: key.place, value })
    }
    return entries
  }

  #followAlias(alias: Node & { source: string }, empty: SourceNode, depth: number): SourceNode {
    this.#aliases += 1
    if (this.#aliases > MOST_ALIASES) {
      return this.#stop(empty, () =>
        this.#reading.report(
          'too-many-aliases',
          empty.place,
          `More than ${MOST_ALIASES} aliases (*) are not followed.`,
          'Write out what is meant.',
        ),
      )
    }
    const target = isAlias(alias) ? alias.resolve(this.#document) : undefined
    if (target !== undefined) return this.#convert(target, empty.place.offset, depth + 1)
    return this.#stop(empty, () =>
      this.#reading.report(
        'unknown-alias',
        empty.place,
        `No anchor &${alias.source.slice(0, 40)} stands before this alias.`,
        'Put a text that begins with * into quotation marks, or write out what is meant.',
      ),
    )
  }

  #stop(empty: SourceNode, say: () => void): SourceNode {
    if (!this.#broken) say()
    this.#broken = true
    return empty
  }

  #verbatim(text: string, from: number): number | null {
    const source = this.#reading.text
    if (source.startsWith(text, from)) return from
    if (/["']/.test(source[from] ?? '') && source.startsWith(text, from + 1)) return from + 1
    return null
  }
}
