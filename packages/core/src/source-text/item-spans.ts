import { type Document, isMap, isNode, isScalar, isSeq, type Node, type YAMLSeq } from 'yaml'
import { indentOf, lineEnd, lineStart } from './text-lines.ts'

/** Where an item of a list stands with all that belongs to it. */
export interface ItemSpan {
  readonly from: number
  readonly to: number
  /** Offset of the dash; of the item itself in a list in brackets. */
  readonly dash: number
}

/**
 * The items of a list with their comments. Those directly above an item belong to it, unless they are indented deeper than
 * its dash: then they belong to the item before. In brackets, an item is only what is written of it. null when the dash
 * does not begin its line, as in lists within lists.
 */
export function spansOfItems(text: string, list: YAMLSeq): readonly ItemSpan[] | null {
  if (list.flow) {
    return list.items.map(item => {
      const from = isNode(item) && item.range ? item.range[0] : 0
      return { from, to: isNode(item) ? contentEnd(text, item) : from, dash: from }
    })
  }
  const token = list.srcToken
  if (token?.type !== 'block-seq') return null
  const dashes = token.items.flatMap(({ start }) =>
    start.filter(({ type }) => type === 'seq-item-ind').map(({ offset }) => offset),
  )
  if (dashes.length !== list.items.length) return null
  if (dashes.some(dash => lineStart(text, dash) + indentOf(text, dash) !== dash)) return null
  const ends = list.items.map((item, index) => {
    const end = isNode(item) ? contentEnd(text, item) : 0
    return withOwnComments(text, Math.max(end, dashes[index]! + 1), indentOf(text, dashes[index]!))
  })
  return dashes.map((dash, index) => ({
    from: withCommentsAbove(text, dash, index === 0 ? 0 : ends[index - 1]!),
    to: ends[index]!,
    dash,
  }))
}

/** The end of what is written of a node, without the white space and the comments behind it. */
export function contentEnd(text: string, node: Node | Document): number {
  if (isMap(node) && !node.flow && node.items.length > 0) {
    const { key, value } = node.items.at(-1)!
    return Math.max(isNode(key) ? contentEnd(text, key) : 0, isNode(value) ? contentEnd(text, value) : 0)
  }
  if (isSeq(node) && !node.flow && node.items.length > 0) {
    const last = node.items.at(-1)
    return isNode(last) ? contentEnd(text, last) : node.range![1]
  }
  const [from, to] = node.range ?? [0, 0, 0]
  const isBlock = isScalar(node) && (node.type === 'BLOCK_LITERAL' || node.type === 'BLOCK_FOLDED')
  if (!isBlock) return to
  return from + text.slice(from, to).trimEnd().length
}

/** The end of the line, and of the comments below that are indented deeper than the dash. */
function withOwnComments(text: string, contentEnds: number, column: number): number {
  let end = lineEnd(text, contentEnds)
  let at = end
  while (at < text.length) {
    const start = text.indexOf('\n', at) + 1
    if (start === 0) break
    const stop = lineEnd(text, start)
    const line = text.slice(start, stop)
    if (line.trim() !== '') {
      if (!line.trimStart().startsWith('#') || indentOf(text, start) <= column) break
      end = stop
    }
    at = stop
  }
  return end
}

function withCommentsAbove(text: string, dash: number, least: number): number {
  const column = indentOf(text, dash)
  let from = lineStart(text, dash)
  while (from > 0) {
    const above = lineStart(text, from - 1)
    if (above < least) break
    const line = text.slice(above, lineEnd(text, above))
    if (!line.trimStart().startsWith('#') || indentOf(text, above) > column) break
    from = above
  }
  return from
}
