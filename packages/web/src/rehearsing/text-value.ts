/**
 * Changes one value within the text of a vessel or a beer, and leaves every other letter of it as it is: comments, order,
 * and how well the value is known (what stands behind its ±). A value that the text leaves out is added.
 */
import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { startReading } from '@attemper/core/source-text/reading.ts'
import type { SourceMapping, SourceNode } from '@attemper/core/source-text/source-node.ts'

/** A key of a mapping; or which item of a list, by what it must be. */
export type Step = string | ((item: SourceMapping) => boolean)

/** The text with the value in place; null: there is no place for it, because what it belongs to is not in the text. */
export function withValue(text: string, path: readonly Step[], value: string): string | null {
  const key = path.at(-1)
  if (typeof key !== 'string') return null
  const root = readYaml(startReading(text, ''))
  const parent = root === null ? undefined : follow(root, path.slice(0, -1))
  if (parent?.kind !== 'mapping') return null
  const entry = parent.entries.find(each => each.key === key)
  if (entry === undefined) return added(text, parent, `${key}: ${value}`)
  if (entry.value.kind !== 'scalar') return null
  const { offset, length } = entry.value.place
  const written = text.slice(offset, offset + length)
  const known = /\s*(?:±|\+\/-).*$/.exec(unquoted(written))?.[0] ?? ''
  return text.slice(0, offset) + value + known + text.slice(offset + length)
}

function unquoted(written: string): string {
  return /^(["']).*\1$/.test(written) ? written.slice(1, -1) : written
}

function follow(node: SourceNode, path: readonly Step[]): SourceNode | undefined {
  let at: SourceNode | undefined = node
  for (const step of path) {
    if (typeof step === 'string') {
      at = at?.kind === 'mapping' ? at.entries.find(({ key }) => key === step)?.value : undefined
    } else {
      at = at?.kind === 'list' ? at.items.find(item => item.kind === 'mapping' && step(item)) : undefined
    }
  }
  return at
}

/** Behind the first entry of a mapping, in the manner in which the mapping is written. */
function added(text: string, { place, entries }: SourceMapping, entry: string): string | null {
  if (text[place.offset] === '{') {
    const at = place.offset + 1
    return entries.length === 0
      ? `${text.slice(0, at)} ${entry} ${text.slice(at).trimStart()}`
      : `${text.slice(0, at)} ${entry},${text.slice(at)}`
  }
  const first = entries[0]
  if (first === undefined) return null
  const indent = ' '.repeat(first.keyPlace.column - 1)
  const { offset } = first.keyPlace
  return `${text.slice(0, offset)}${entry}\n${indent}${text.slice(offset)}`
}
