/**
 * Which line of a text is indented like no line around it. Only asked of texts that are no YAML: what a parser says of such a
 * line is that a colon is missing, at some other line. Looks at lines that hold a key or begin with a dash.
 */
export interface Misindented {
  readonly offset: number
  readonly length: number
  /** How many spaces there are, and how many would be right. */
  readonly has: number
  readonly wants: number
  /** The number of the line, from 1, whose indentation it should have. */
  readonly like: number
}

interface Level {
  readonly indent: number
  readonly line: number
  readonly isDash: boolean
}

const DASH = /^( *)(- +)(?=\S)/
const KEY = /^( *)(?:"[^"]*"|'[^']*'|[^\s#"'{[][^#]*?):(?: |$)/

/** The first such line; null: none is found. */
export function misindented(text: string): Misindented | null {
  let levels: Level[] = []
  /** The line before opens a deeper level: it ends with a colon or a dash. */
  let opens = true
  let offset = 0
  let line = 0
  for (const own of text.split('\n')) {
    line += 1
    const start = offset
    offset += own.length + 1
    const bare = own
      .replace(/\r$/, '')
      .replace(/(?:^|\s)#.*$/, '')
      .trimEnd()
    if (bare.trim() === '') continue
    const dash = DASH.exec(`${bare}${bare.endsWith('-') ? ' ?' : ''}`)
    if (dash === null && !KEY.test(bare)) {
      opens = false
      continue
    }
    const indent = /^ */.exec(bare)![0].length
    const kept = levels.filter(level => level.indent <= indent)
    const top = kept.at(-1)
    const isPlaced = top === undefined || top.indent === indent || (opens && kept.length === levels.length)
    if (!isPlaced) {
      const like = nearest(levels, indent, dash !== null)
      if (like === null) return null
      return { offset: start, length: bare.length, has: indent, wants: like.indent, like: like.line }
    }
    levels = kept.filter(level => level.indent < indent)
    levels.push({ indent, line, isDash: dash !== null })
    if (dash !== null) levels.push({ indent: indent + dash[2]!.length, line, isDash: false })
    opens = /(?::|-|[|>][+-]?)$/.test(bare)
  }
  return null
}

/** The level of the same kind that is nearest to the indentation; that of a shallower one when two are as near. */
function nearest(levels: readonly Level[], indent: number, isDash: boolean): Level | null {
  const same = levels.filter(level => level.isDash === isDash)
  return (
    same.toSorted(
      (a, b) => Math.abs(a.indent - indent) - Math.abs(b.indent - indent) || a.indent - b.indent,
    )[0] ?? null
  )
}
