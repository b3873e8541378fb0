/**
 * Changes to a YAML text that leave everything else in it letter by letter: comments, empty lines, quotation marks, and
 * whether something stands in braces or on lines of its own. An item of a list takes along the comments that stand
 * directly above it and within it; the empty lines between items stay where they are.
 *
 * Each change works out besides what the text should mean afterwards, and reads the result again. If the two differ
 * (anchors and aliases, keys of several lines), or the text is no valid YAML, the answer is null and nothing has changed:
 * such a text is changed by hand. Values are handed in as they should be written.
 */
import {
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  type Pair,
  parseDocument,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml'
import { contentEnd, spansOfItems } from './item-spans.ts'
import { normalKey } from './record.ts'
import { columnOf, indentOf, lineEnd, lineStart, newlineOf } from './text-lines.ts'

/** Keys of mappings and indices of lists, from the root. */
export type YamlPath = readonly (string | number)[]

/** An item as it is written on one line, and as it is written on several, without indentation. */
export interface NewItem {
  readonly inline: string
  readonly lines: readonly string[]
}

/**
 * Writes `inline` as the value at `path`, whose mapping must exist. A new key is put behind the last of those that come
 * before it in `order`.
 */
export function setValue(
  text: string,
  path: YamlPath,
  inline: string,
  order: readonly string[],
): string | null {
  return edit(text, ({ document, meaning }) => {
    const key = String(path.at(-1))
    const parent = nodeAt(document, path.slice(0, -1))
    const value = parseDocument(inline, OPTIONS).toJS()
    if (isSeq(parent)) {
      const item = parent.items[Number(path.at(-1))]
      if (!isNode(item)) return null
      return { text: replaceNode(text, item, inline), meaning: withValue(meaning, path, value) }
    }
    if (!isMap(parent)) return null
    const pair = pairOf(parent, key)
    const changed =
      pair === undefined ? insertPair(text, parent, key, inline, order) : replaceValue(text, pair, inline)
    return changed === null ? null : { text: changed, meaning: withValue(meaning, path, value) }
  })
}

/** Puts another key and its value where the key at `path` stands. */
export function replacePair(text: string, path: YamlPath, key: string, inline: string): string | null {
  return edit(text, ({ document, meaning }) => {
    const parent = nodeAt(document, path.slice(0, -1))
    const pair = isMap(parent) ? pairOf(parent, String(path.at(-1))) : undefined
    if (pair === undefined) return null
    const value = parseDocument(inline, OPTIONS).toJS()
    const [from, to] = spanOfPair(text, pair)
    const without = withValue(meaning, path, undefined)
    return {
      text: splice(text, from, to, `${key}: ${inline}`),
      meaning: withValue(without, [...path.slice(0, -1), key], value),
    }
  })
}

/** Takes out the key at `path` with its value; not when it is the only one of its mapping. */
export function removePair(text: string, path: YamlPath): string | null {
  return edit(text, ({ document, meaning }) => {
    const parent = nodeAt(document, path.slice(0, -1))
    if (!isMap(parent) || parent.items.length < 2) return null
    const index = parent.items.findIndex(pair => keyOf(pair) === String(path.at(-1)))
    if (index === -1) return null
    const spans = parent.items.map(pair => spanOfPair(text, pair))
    const [from, to] = spans[index]!
    return { text: withoutPair(), meaning: withValue(meaning, path, undefined) }

    function withoutPair(): string {
      const isFirst = index === 0
      if (isFirst) return splice(text, from, spans[1]![0], '')
      if (parent === null || (parent as YAMLMap).flow) return splice(text, spans[index - 1]![1], to, '')
      const end = lineEnd(text, to)
      return splice(
        text,
        lineStart(text, from),
        text.startsWith('\r\n', end) ? end + 2 : Math.min(end + 1, text.length),
        '',
      )
    }
  })
}

/** Moves an item of the list at `path` to where another one stands; those between make room. */
export function moveItem(text: string, path: YamlPath, from: number, to: number): string | null {
  return edit(text, ({ document, meaning }) => {
    const list = nodeAt(document, path)
    const spans = isSeq(list) ? spansOfItems(text, list) : null
    if (spans === null || spans[from] === undefined || spans[to] === undefined) return null
    const order = moved([...spans.keys()], from, to)
    const first = Math.min(from, to)
    const last = Math.max(from, to)
    let between = ''
    for (let at = first; at <= last; at++) {
      const taken = spans[order[at]!]!
      between += text.slice(taken.from, taken.to)
      if (at < last) between += text.slice(spans[at]!.to, spans[at + 1]!.from)
    }
    const items = valueAt(meaning, path) as readonly unknown[]
    return {
      text: splice(text, spans[first]!.from, spans[last]!.to, between),
      meaning: withValue(meaning, path, moved(items, from, to)),
    }
  })
}

/** Puts a new item into the list at `path`, before the one that stands at `index` now; the list may be empty. */
export function insertItem(text: string, path: YamlPath, index: number, item: NewItem): string | null {
  return edit(text, ({ document, meaning }) => {
    const list = nodeAt(document, path)
    const value = parseDocument(item.inline, OPTIONS).toJS()
    const items = isSeq(list) ? (valueAt(meaning, path) as readonly unknown[]) : []
    if (index > items.length) return null
    const changed =
      isSeq(list) && items.length > 0
        ? besideItems(text, list, index, item)
        : asFirstItem(text, document, path, item)
    if (changed === null) return null
    return { text: changed, meaning: withValue(meaning, path, items.toSpliced(index, 0, value)) }
  })
}

/** Takes out an item of the list at `path` with its comments; not when it is the only one. */
export function removeItem(text: string, path: YamlPath, index: number): string | null {
  return edit(text, ({ document, meaning }) => {
    const list = nodeAt(document, path)
    const spans = isSeq(list) ? spansOfItems(text, list) : null
    const span = spans?.[index]
    if (spans === null || span === undefined || spans.length < 2) return null
    const [from, to] =
      index < spans.length - 1 ? [span.from, spans[index + 1]!.from] : [spans[index - 1]!.to, span.to]
    const between = index < spans.length - 1 ? text.slice(span.to, to) : text.slice(from, span.from)
    const items = valueAt(meaning, path) as readonly unknown[]
    // Comments between two items belong to neither, and stay.
    const keepsBetween = between.includes('#')
    return {
      text: keepsBetween ? splice(text, span.from, span.to, '') : splice(text, from, to, ''),
      meaning: withValue(meaning, path, items.toSpliced(index, 1)),
    }
  })
}

/** Puts a copy of an item of the list at `path` behind it, with its comments. */
export function repeatItem(text: string, path: YamlPath, index: number): string | null {
  return edit(text, ({ document, meaning }) => {
    const list = nodeAt(document, path)
    if (!isSeq(list)) return null
    const span = spansOfItems(text, list)?.[index]
    if (span === undefined) return null
    const items = valueAt(meaning, path) as readonly unknown[]
    return {
      text: splice(text, span.to, span.to, gapOf(text, list, index, true) + text.slice(span.from, span.to)),
      meaning: withValue(meaning, path, items.toSpliced(index, 0, items[index])),
    }
  })
}

// ------------------------------------------------------------------------------------------------------------------

/** As read-yaml.ts reads: each scalar is text. Source tokens say where the dashes stand. */
const OPTIONS = { version: '1.2', schema: 'failsafe', keepSourceTokens: true, logLevel: 'error' } as const

interface Opened {
  readonly document: Document.Parsed
  readonly meaning: unknown
}

interface Changed {
  readonly text: string
  readonly meaning: unknown
}

function edit(text: string, change: (opened: Opened) => Changed | null): string | null {
  const opened = open(text)
  const changed = opened === null ? null : change(opened)
  if (changed === null) return null
  const after = open(changed.text)
  return after !== null && isSame(after.meaning, changed.meaning) ? changed.text : null
}

function open(text: string): Opened | null {
  try {
    const document = parseDocument(text, OPTIONS)
    return document.errors.length > 0 ? null : { document, meaning: document.toJS({ maxAliasCount: 100 }) }
  } catch {
    // Too many aliases, or nested too deep for the parser.
    return null
  }
}

function isSame(a: unknown, b: unknown): boolean {
  if (Array.isArray(a) && Array.isArray(b))
    return a.length === b.length && a.every((each, index) => isSame(each, b[index]))
  if (isRecord(a) && isRecord(b)) {
    const keys = Object.keys(a)
    return (
      keys.length === Object.keys(b).length &&
      keys.every(key => Object.hasOwn(b, key) && isSame(a[key], b[key]))
    )
  }
  return a === b
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function keyOf(pair: Pair): string {
  return isScalar(pair.key) ? normalKey(String(pair.key.value ?? '')) : ''
}

function pairOf(mapping: YAMLMap, key: string): Pair | undefined {
  return mapping.items.find(pair => keyOf(pair) === key)
}

/** The node at a path, unless an alias lies on the way: what an alias stands for is used elsewhere as well. */
function nodeAt(document: Document.Parsed, path: YamlPath): unknown {
  let node: unknown = document.contents
  for (const step of path) {
    if (isAlias(node)) return undefined
    if (isMap(node)) node = pairOf(node, String(step))?.value
    else if (isSeq(node)) node = node.items[Number(step)]
    else return undefined
  }
  return node
}

function valueAt(meaning: unknown, path: YamlPath): unknown {
  let value = meaning
  for (const step of path) {
    if (Array.isArray(value)) value = value[Number(step)]
    else if (isRecord(value)) value = value[ownKey(value, String(step))]
    else return undefined
  }
  return value
}

/** The same with another value at a path; undefined takes the key out. */
function withValue(meaning: unknown, path: YamlPath, value: unknown): unknown {
  const [step, ...rest] = path
  if (step === undefined) return value
  if (Array.isArray(meaning)) return meaning.with(Number(step), withValue(meaning[Number(step)], rest, value))
  const mapping = isRecord(meaning) ? meaning : {}
  const key = ownKey(mapping, String(step))
  const changed = withValue(mapping[key], rest, value)
  if (changed !== undefined) return { ...mapping, [key]: changed }
  return Object.fromEntries(Object.entries(mapping).filter(([each]) => each !== key))
}

/** The key as it is written, whose spaces may differ. */
function ownKey(mapping: Readonly<Record<string, unknown>>, key: string): string {
  return Object.keys(mapping).find(each => normalKey(each) === key) ?? key
}

function splice(text: string, from: number, to: number, insert: string): string {
  return text.slice(0, from) + insert + text.slice(to)
}

function moved<T>(items: readonly T[], from: number, to: number): readonly T[] {
  return items.toSpliced(from, 1).toSpliced(to, 0, items[from]!)
}

/** From the key to the end of the value. */
function spanOfPair(text: string, pair: Pair): readonly [number, number] {
  const from = isNode(pair.key) && pair.key.range ? pair.key.range[0] : 0
  return [from, Math.max(afterColon(text, pair), isNode(pair.value) ? contentEnd(text, pair.value) : 0)]
}

function afterColon(text: string, pair: Pair): number {
  const end = isNode(pair.key) && pair.key.range ? pair.key.range[1] : 0
  return text.indexOf(':', end) + 1
}

function replaceValue(text: string, pair: Pair, inline: string): string {
  const { value } = pair
  const isThere = isNode(value) && value.range && value.range[1] > value.range[0]
  if (isThere && isScalar(value)) return replaceNode(text, value, inline)
  const at = afterColon(text, pair)
  // What stands on lines of its own moves up to the key.
  return isThere
    ? splice(text, at, contentEnd(text, value), ` ${inline}`)
    : splice(text, at, at, ` ${inline}`)
}

/** A text that stood in quotation marks stays in them. */
function replaceNode(text: string, node: Parameters<typeof contentEnd>[1], inline: string): string {
  const from = node.range![0]
  const isQuoted = /["']/.test(text[from] ?? '') && isScalar(node)
  const isPlain = !/^["'{[]/.test(inline)
  return splice(text, from, contentEnd(text, node), isQuoted && isPlain ? JSON.stringify(inline) : inline)
}

function insertPair(
  text: string,
  mapping: YAMLMap,
  key: string,
  inline: string,
  order: readonly string[],
): string | null {
  const { items } = mapping
  const written = `${key}: ${inline}`
  if (items.length === 0) {
    return mapping.flow && mapping.range
      ? splice(text, mapping.range[0], mapping.range[1], `{ ${written} }`)
      : null
  }
  const place = order.indexOf(key)
  const before = items.findLastIndex(pair => place === -1 || order.indexOf(keyOf(pair)) < place)
  const [first, end] = spanOfPair(text, items[Math.max(0, before)]!)
  if (mapping.flow) return splice(text, end, end, `, ${written}`)
  const at = lineEnd(text, end)
  return splice(text, at, at, `${newlineOf(text)}${' '.repeat(columnOf(text, first))}${written}`)
}

function besideItems(text: string, list: YAMLSeq, index: number, item: NewItem): string | null {
  const spans = spansOfItems(text, list)
  if (spans === null) return null
  const written = list.flow ? item.inline : asBlock(text, item, columnOfDash(text, spans[0]!.dash))
  const gap = gapOf(text, list, Math.max(0, index - 1), item.lines.length > 1)
  if (index === 0) return splice(text, spans[0]!.from, spans[0]!.from, written + gap)
  return splice(text, spans[index - 1]!.to, spans[index - 1]!.to, gap + written)
}

/** What separates an item from the next one, without comments: as many line ends as stand there already. */
function gapOf(text: string, list: YAMLSeq, index: number, isLong: boolean): string {
  const spans = spansOfItems(text, list)!
  const at = Math.min(index, spans.length - 2)
  const here = at < 0 ? null : text.slice(spans[at]!.to, spans[at + 1]!.from)
  if (list.flow) return here !== null && !here.includes('#') ? here : ', '
  const lines = here === null ? (isLong ? 2 : 1) : Math.max(1, here.split('\n').length - 1)
  return newlineOf(text).repeat(here?.includes('#') ? Math.min(2, lines) : lines)
}

function asFirstItem(text: string, document: Document.Parsed, path: YamlPath, item: NewItem): string | null {
  const parent = nodeAt(document, path.slice(0, -1))
  const pair = isMap(parent) ? pairOf(parent, String(path.at(-1))) : undefined
  if (!isMap(parent) || pair === undefined) return null
  const [from, end] = spanOfPair(text, pair)
  const at = afterColon(text, pair)
  if (parent.flow) return splice(text, at, end, ` [ ${item.inline} ]`)
  const column = columnOf(text, from) + 2
  return splice(text, at, end, newlineOf(text) + asBlock(text, item, column))
}

function asBlock(text: string, { lines }: NewItem, column: number): string {
  return lines
    .map((line, index) => `${' '.repeat(column)}${index === 0 ? '- ' : '  '}${line}`)
    .join(newlineOf(text))
}

function columnOfDash(text: string, dash: number): number {
  return indentOf(text, dash)
}
