/** Findings at their lines: a sign beside the line, a line under the words, and what they say under the pointer. */
import type { Finding } from '@attemper/core/finding.ts'
import { type Diagnostic, setDiagnostics } from '@codemirror/lint'
import {
  type EditorState,
  type Extension,
  RangeSet,
  StateEffect,
  StateField,
  type Text,
  type TransactionSpec,
} from '@codemirror/state'
import { GutterMarker, gutter } from '@codemirror/view'
import { plainWords } from './plain-words.ts'
import { gravest, SEVERITIES } from './severities.ts'

/** Shows these findings instead of those before. A finding whose line is gone is left out. */
export function showFindings(state: EditorState, findings: readonly Finding[]): TransactionSpec {
  const there = findings.filter(({ line }) => line <= state.doc.lines)
  const { effects } = setDiagnostics(
    state,
    there.map(each => diagnosticOf(state.doc, each)),
  )
  return { effects: [...[effects ?? []].flat(), marked.of(marksOf(state.doc, there))] }
}

function diagnosticOf(doc: Text, { line, column, length, severity, message, cure }: Finding): Diagnostic {
  const { from, to } = doc.line(line)
  const start = Math.min(from + column - 1, to)
  const { sign, word } = SEVERITIES[severity]
  return {
    from: start,
    to: Math.min(start + length, to),
    severity: severity === 'note' ? 'info' : severity,
    message: plainWords(`${word}: ${message} ${cure}`),
    renderMessage: () => {
      const told = document.createElement('div')
      told.className = 'cm-finding-told'
      const what = document.createElement('p')
      const mark = document.createElement('strong')
      mark.className = `cm-finding-${severity}`
      mark.textContent = `${sign} ${word}: `
      what.append(mark, plainWords(message))
      const how = document.createElement('p')
      how.textContent = plainWords(cure)
      told.append(what, how)
      return told
    },
  }
}

class Mark extends GutterMarker {
  readonly #severity: Finding['severity']
  readonly #count: number

  constructor(severity: Finding['severity'], count: number) {
    super()
    this.#severity = severity
    this.#count = count
  }

  override eq(other: GutterMarker): boolean {
    return other instanceof Mark && other.#severity === this.#severity && other.#count === this.#count
  }

  override toDOM(): Node {
    const { sign, word } = SEVERITIES[this.#severity]
    const mark = document.createElement('span')
    mark.className = `cm-finding-${this.#severity}`
    mark.title = this.#count === 1 ? word : `${word}; ${this.#count} findings in this line`
    mark.textContent = sign
    return mark
  }
}

function marksOf(doc: Text, findings: readonly Finding[]): RangeSet<GutterMarker> {
  const lines = [...new Set(findings.map(({ line }) => line))].toSorted((a, b) => a - b)
  return RangeSet.of(
    lines.map(line => {
      const here = findings.filter(each => each.line === line)
      return new Mark(gravest(here.map(({ severity }) => severity)), here.length).range(doc.line(line).from)
    }),
  )
}

const marked = StateEffect.define<RangeSet<GutterMarker>>()

const marks = StateField.define<RangeSet<GutterMarker>>({
  create: () => RangeSet.empty,
  update: (before, { changes, effects }) =>
    effects.find(each => each.is(marked))?.value ?? before.map(changes),
})

export const findingMarks: Extension = [
  marks,
  gutter({ class: 'cm-finding-gutter', markers: view => view.state.field(marks) }),
]
