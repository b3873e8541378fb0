/** A JSON document line by line, each with the pointer (RFC 6901) that names what stands there. */
export interface JsonRow {
  readonly depth: number
  /** The name of the member, or its position; null: the document itself. */
  readonly key: string | null
  readonly pointer: string
  /** As it is written; null: an object or an array, whose parts follow. */
  readonly written: string | null
  /** Whether it can be a reading: a number, or one in quotation marks. */
  readonly isNumber: boolean
  readonly opens: 'object' | 'array' | null
}

const MOST_ROWS = 200

/** The first 200 lines. */
export function jsonRows(document: unknown): readonly JsonRow[] {
  const rows: JsonRow[] = []
  add(document, null, '', 0, rows)
  return rows
}

function add(value: unknown, key: string | null, pointer: string, depth: number, rows: JsonRow[]): void {
  if (rows.length >= MOST_ROWS) return
  const parts = partsOf(value)
  rows.push({
    depth,
    key,
    pointer,
    written: parts === null ? JSON.stringify(value) : null,
    isNumber: asNumber(value) !== null,
    opens: parts === null ? null : Array.isArray(value) ? 'array' : 'object',
  })
  for (const [name, part] of parts ?? []) {
    add(part, name, `${pointer}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`, depth + 1, rows)
  }
}

function partsOf(value: unknown): readonly (readonly [string, unknown])[] | null {
  return typeof value === 'object' && value !== null ? Object.entries(value) : null
}

/** The number that a value is or holds in quotation marks; null: none. */
export function asNumber(value: unknown): number | null {
  if (typeof value === 'number') return value
  if (typeof value !== 'string' || !/^\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?\s*$/i.test(value)) return null
  return Number(value)
}

/** A message as JSON; undefined: it is none, or was cut off. */
export function readMessage(text: string | null): unknown {
  try {
    return text === null ? undefined : (JSON.parse(text) as unknown)
  } catch {
    return undefined
  }
}
