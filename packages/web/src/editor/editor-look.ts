/** The editor in the colours of the house; all of them variables, so that it turns dark with everything else. */
import { HighlightStyle, syntaxHighlighting } from '@codemirror/language'
import type { Extension, Range } from '@codemirror/state'
import {
  Decoration,
  type DecorationSet,
  EditorView,
  MatchDecorator,
  ViewPlugin,
  type ViewUpdate,
} from '@codemirror/view'
import { tags } from '@lezer/highlight'

const theme = EditorView.theme({
  '&': { backgroundColor: 'var(--sheet)', color: 'var(--ink)', fontSize: 'inherit', height: '100%' },
  '&.cm-focused': { outline: 'none' },
  '.cm-scroller': { fontFamily: 'var(--mono)', lineHeight: '1.55', overflow: 'auto' },
  '.cm-content': { padding: '0.5rem 0', caretColor: 'var(--ink)' },
  '.cm-cursor': { borderLeftColor: 'var(--ink)' },
  '.cm-gutters': { backgroundColor: 'var(--sheet)', color: 'var(--ink-soft)', border: 'none' },
  '.cm-lineNumbers .cm-gutterElement': { minWidth: '1.6rem', padding: '0 0.3rem 0 0', fontSize: '0.8em' },
  '.cm-activeLine': { backgroundColor: 'color-mix(in srgb, var(--grid) 45%, transparent)' },
  '.cm-activeLineGutter': { backgroundColor: 'transparent', color: 'var(--ink)' },
  '.cm-matchingBracket, &.cm-focused .cm-matchingBracket': {
    backgroundColor: 'var(--grid)',
    outline: '1px solid var(--rule)',
  },
  '.cm-finding-gutter': { width: '1.1rem' },
  '.cm-finding-gutter .cm-gutterElement': { textAlign: 'center', fontWeight: '700' },
  '.cm-finding-error': { color: 'var(--call)' },
  '.cm-finding-warning': { color: 'var(--temperature)' },
  '.cm-finding-note': { color: 'var(--cool)' },
  // Told apart by the line as well: wavy, dashed, dotted.
  '.cm-lintRange': { backgroundImage: 'none', textUnderlineOffset: '0.25em' },
  '.cm-lintRange-error': {
    textDecoration: 'underline wavy var(--call) 1px',
    backgroundColor: 'var(--call-ground)',
  },
  '.cm-lintRange-warning': { textDecoration: 'underline dashed var(--temperature) 1.5px' },
  '.cm-lintRange-info': { textDecoration: 'underline dotted var(--cool) 2px' },
  '.cm-tooltip': {
    maxWidth: 'min(26rem, calc(100vw - 2rem))',
    border: '1px solid var(--rule)',
    borderRadius: '3px',
    backgroundColor: 'var(--paper)',
    color: 'var(--ink)',
    font: '0.875rem / 1.45 var(--sans)',
  },
  '.cm-tooltip-hover > *': { padding: '0.35rem 0.6rem' },
  '.cm-explained p, .cm-finding-told p': { margin: '0.1rem 0' },
  '.cm-explained .cm-written': { color: 'var(--ink-soft)' },
  '.cm-diagnostic': { padding: '0', margin: '0', border: 'none' },
  '.cm-tooltip.cm-tooltip-autocomplete > ul': { fontFamily: 'var(--mono)', maxHeight: '15rem' },
  '.cm-tooltip.cm-tooltip-autocomplete > ul > li': { padding: '0.25rem 0.6rem', lineHeight: '1.4' },
  '.cm-tooltip.cm-tooltip-autocomplete > ul > li[aria-selected]': {
    backgroundColor: 'var(--ink)',
    color: 'var(--paper)',
  },
  '.cm-completionMatchedText': { textDecoration: 'none', fontWeight: '700' },
  '.cm-completionDetail': { fontFamily: 'var(--sans)', fontStyle: 'normal', opacity: '0.8' },
  '.cm-tooltip.cm-completionInfo': { padding: '0.35rem 0.6rem', whiteSpace: 'normal' },
  '.cm-temperature': { color: 'var(--temperature)' },
  '.cm-gravity': { color: 'var(--gravity)' },
})

const words = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], fontWeight: '600' },
  { tag: tags.comment, color: 'var(--ink-soft)', fontStyle: 'italic' },
  {
    tag: [tags.separator, tags.punctuation, tags.brace, tags.squareBracket, tags.meta],
    color: 'var(--ink-soft)',
  },
])

/** Temperatures are copper and gravities plum, as in the charts. */
const quantities = new MatchDecorator({
  regexp: /[-−]?\d[\d.]* ?°[CF](?:\/\w+)?|\b(?:0\.9|1\.[01])\d+\b|\b\d[\d.]* ?(?:points?\b|°P)(?:\/\w+)?/g,
  decoration: ([match]) => Decoration.mark({ class: /°[CF]/.test(match) ? 'cm-temperature' : 'cm-gravity' }),
})

const colouredQuantities = ViewPlugin.fromClass(
  class {
    decorations: DecorationSet

    constructor(view: EditorView) {
      this.decorations = quantities.createDeco(view)
    }

    update(update: ViewUpdate): void {
      this.decorations = quantities.updateDeco(update, this.decorations)
    }
  },
  { decorations: plugin => plugin.decorations },
)

/** A line that is too long goes on below where it began, not at the edge. */
const hangingLines = ViewPlugin.fromClass(
  class {
    decorations: DecorationSet

    constructor(view: EditorView) {
      this.decorations = hang(view)
    }

    update({ docChanged, viewportChanged, view }: ViewUpdate): void {
      if (docChanged || viewportChanged) this.decorations = hang(view)
    }
  },
  { decorations: plugin => plugin.decorations },
)

function hang({ state, visibleRanges }: EditorView): DecorationSet {
  const lines: Range<Decoration>[] = []
  for (const { from, to } of visibleRanges) {
    for (let line = state.doc.lineAt(from); ; line = state.doc.line(line.number + 1)) {
      const width = /^[ -]*/.exec(line.text)![0].length + 2
      const style = `text-indent: -${width}ch; padding-left: calc(${width}ch + 0.4rem)`
      lines.push(Decoration.line({ attributes: { style } }).range(line.from))
      if (line.to >= to || line.number === state.doc.lines) break
    }
  }
  return Decoration.set(lines)
}

export const editorLook: Extension = [
  theme,
  syntaxHighlighting(words),
  colouredQuantities,
  EditorView.lineWrapping,
  hangingLines,
]
