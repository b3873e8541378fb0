import type { Finding, Severity } from '../finding.ts'
import type { Place } from '../place.ts'
import type { ReaderCode } from './finding-codes.ts'

const MOST_FINDINGS = 100

/** One reading of one text: knows the places in it and collects what is wrong. */
export interface Reading {
  readonly text: string
  /** Line and column of an offset; the length is cut at the end of the line, and at least 1. */
  readonly placeAt: (offset: number, length: number) => Place
  readonly report: (
    code: ReaderCode,
    place: Place,
    message: string,
    cure: string,
    severity?: Severity,
  ) => void
  readonly hasErrors: () => boolean
  /** Notes that something is named here which must exist elsewhere in the text; looked up when all of it has been read. */
  readonly mention: (what: Mentioned, name: string, place: Place) => void
  readonly mentions: (what: Mentioned) => readonly Mention[]
  /** In the order of their places. */
  readonly findings: () => Finding[]
}

export type Mentioned = 'stage' | 'task' | 'instrument'

export interface Mention {
  readonly name: string
  readonly place: Place
}

export function startReading(text: string, file: string): Reading {
  const lineStarts = findLineStarts(text)
  const collected: Finding[] = []
  const mentioned = { stage: [] as Mention[], task: [] as Mention[], instrument: [] as Mention[] }
  let errors = 0
  let dropped = false

  const placeAt = (offset: number, length: number): Place => {
    const at = Math.max(0, Math.min(offset, text.length))
    const line = lineOf(lineStarts, at)
    const start = lineStarts[line]!
    let end = line + 1 < lineStarts.length ? lineStarts[line + 1]! - 1 : text.length
    if (end > start && text[end - 1] === '\r') end -= 1
    return {
      line: line + 1,
      column: at - start + 1,
      offset: at,
      length: Math.max(1, Math.min(length, end - at)),
    }
  }

  const report: Reading['report'] = (code, place, message, cure, severity = 'error') => {
    if (severity === 'error') errors += 1
    if (collected.length >= MOST_FINDINGS) {
      dropped = true
      return
    }
    const { line, column, length } = place
    collected.push({ severity, code, file, line, column, length, message, cure })
  }

  const findings = (): Finding[] => {
    const sorted = collected.toSorted((a, b) => a.line - b.line || a.column - b.column)
    const last = sorted.at(-1)
    if (!dropped || last === undefined) return sorted
    return [
      ...sorted,
      {
        ...last,
        severity: 'note',
        code: 'too-many-findings',
        message: `There are more than ${MOST_FINDINGS} findings; the others are not listed.`,
        cure: 'Mend these first, then check again.',
      },
    ]
  }

  return {
    text,
    placeAt,
    report,
    hasErrors: () => errors > 0,
    mention: (what, name, place) => mentioned[what].push({ name, place }),
    mentions: what => mentioned[what],
    findings,
  }
}

function findLineStarts(text: string): readonly number[] {
  const starts = [0]
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) starts.push(at + 1)
  return starts
}

function lineOf(starts: readonly number[], offset: number): number {
  let low = 0
  let high = starts.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (starts[middle]! <= offset) low = middle
    else high = middle - 1
  }
  return low
}
