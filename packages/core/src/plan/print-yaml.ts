/**
 * A tree of mappings, lists and texts as YAML in the way of the house: what is simple and fits on one line stands there,
 * in braces; the rest is indented.
 */
export type Tree = string | Quoted | readonly Tree[] | Mapping

/** A text that YAML would understand, but that a reader expects in quotation marks, such as a time of day. */
export interface Quoted {
  readonly quoted: string
}

export interface Mapping {
  readonly entries: readonly Entry[]
}

type Entry = readonly [key: string, value: Tree]

const WIDTH = 100

/** Entries whose value is undefined are left out. */
export function mapping(entries: Readonly<Record<string, Tree | undefined>>): Mapping {
  return {
    entries: Object.entries(entries).filter((entry): entry is [string, Tree] => entry[1] !== undefined),
  }
}

/** The lines of a mapping. */
export function printMapping(tree: Mapping, indent: number): readonly string[] {
  return tree.entries.flatMap(([key, value]) => {
    const opening = `${' '.repeat(indent)}${key}:`
    const line = `${opening} ${inline(value)}`
    if (isScalar(value) || (line.length <= WIDTH && isSimple(value))) return [line]
    return [opening, ...(isMapping(value) ? printMapping(value, indent + 2) : printItems(value, indent + 2))]
  })
}

function printItems(items: readonly Tree[], indent: number): readonly string[] {
  const dash = `${' '.repeat(indent)}- `
  return items.flatMap(item => {
    const line = dash + braceless(item)
    if (isScalar(item) || (line.length <= WIDTH && isSimple(item))) return [line]
    const [first, ...rest] = isMapping(item) ? printMapping(item, indent + 2) : printItems(item, indent + 2)
    return [dash + first!.trimStart(), ...rest]
  })
}

/** Mappings in a list are easier to read on a line each. */
function isSimple(tree: Tree): boolean {
  if (isScalar(tree)) return true
  return isMapping(tree) ? tree.entries.every(([, value]) => isSimple(value)) : tree.every(isScalar)
}

/** In a list, a mapping of one entry needs no braces. */
function braceless(item: Tree): string {
  if (isScalar(item) || !isMapping(item) || item.entries.length !== 1) return inline(item)
  const [key, value] = item.entries[0]!
  return `${key}: ${inline(value)}`
}

function isScalar(tree: Tree): tree is string | Quoted {
  return typeof tree === 'string' || 'quoted' in tree
}

function isMapping(tree: readonly Tree[] | Mapping): tree is Mapping {
  return 'entries' in tree && !Array.isArray(tree)
}

/** On one line, in braces. */
export function inline(tree: Tree): string {
  if (typeof tree === 'string') return scalar(tree)
  if ('quoted' in tree) return JSON.stringify(tree.quoted)
  if (!isMapping(tree)) return `[${tree.map(inline).join(', ')}]`
  if (tree.entries.length === 0) return '{}'
  return `{ ${tree.entries.map(([key, value]) => `${key}: ${inline(value)}`).join(', ')} }`
}

/** Letters, digits and harmless signs: no sign that means something to YAML, in braces or out of them. */
const PLAIN = /^[\p{L}\p{N}][\p{L}\p{N}\p{M} °%.?!/+()'’–-]*$/u
/** Colons inside a date are not followed by a space. */
const DATE = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/
const NEGATIVE = /^-\d[\d.]*( \S+)?$/

function scalar(text: string): string {
  const isPlain = PLAIN.test(text) || DATE.test(text) || NEGATIVE.test(text)
  return isPlain && text === text.trim() ? text : JSON.stringify(text)
}
