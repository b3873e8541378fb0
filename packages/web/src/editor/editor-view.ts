/**
 * The editor itself, with all that it brings: fetched when a text is first to be edited (text-editor.svelte), so that no
 * other screen waits for it.
 */
import type { Finding } from '@attemper/core/finding.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import {
  acceptCompletion,
  autocompletion,
  type Completion,
  type CompletionResult,
  closeBrackets,
  closeBracketsKeymap,
  completionKeymap,
  startCompletion,
} from '@codemirror/autocomplete'
import {
  defaultKeymap,
  history,
  historyKeymap,
  indentWithTab,
  isolateHistory,
  redo,
  redoDepth,
  undo,
  undoDepth,
} from '@codemirror/commands'
import { yaml } from '@codemirror/lang-yaml'
import { bracketMatching, indentOnInput } from '@codemirror/language'
import { nextDiagnostic, previousDiagnostic } from '@codemirror/lint'
import { Annotation, EditorState, type Extension } from '@codemirror/state'
import {
  EditorView,
  highlightActiveLine,
  highlightActiveLineGutter,
  hoverTooltip,
  keymap,
  lineNumbers,
  tooltips,
} from '@codemirror/view'
import { editorLook } from './editor-look.ts'
import { type Explanation, explanationAt } from './explanation.ts'
import { findingMarks, showFindings } from './finding-marks.ts'
import { infoPlace } from './info-place.ts'
import { CURSOR, type Offer, offersAt } from './offers.ts'
import { plainWords } from './plain-words.ts'
import { textDifference } from './text-difference.ts'

export interface EditorOptions {
  readonly parent: HTMLElement
  readonly text: string
  readonly label: string
  /** The id of what is said about the place of the cursor. */
  readonly describedBy: string
  readonly schema: JsonSchema
  readonly units: () => DisplayUnits
  /** Only for what is typed here. */
  readonly onchange: (text: string) => void
  readonly onplace: (place: PlaceInEditor) => void
}

/** Where the cursor is, what stands there, and what can be taken back. */
export interface PlaceInEditor {
  readonly line: number
  readonly explanation: Explanation | null
  readonly canUndo: boolean
  readonly canRedo: boolean
}

export interface Editor {
  /** Takes over a text that was changed elsewhere; that can be undone like anything else. */
  readonly setText: (text: string) => void
  readonly setFindings: (findings: readonly Finding[]) => void
  readonly goTo: (line: number, column?: number) => void
  readonly undo: () => void
  readonly redo: () => void
  readonly destroy: () => void
}

/** Of changes that were made elsewhere, which must not be reported as typed here. */
const fromElsewhere = Annotation.define<boolean>()
/** A longer change is one to be undone by itself; shorter ones are joined while somebody types. */
const SHORT = 12

export function openEditor(options: EditorOptions): Editor {
  const { parent, text, schema, units, onchange, onplace } = options
  const view = new EditorView({
    parent,
    state: EditorState.create({
      doc: text,
      extensions: [
        basics(options),
        findingMarks,
        editorLook,
        autocompletion({
          override: [context => completions(context.state.doc.toString(), context.pos, schema, units())],
          icons: false,
          activateOnCompletion: () => true,
          positionInfo: (_view, list, option, info, space) => ({
            style: infoPlace(list, option, info, space),
          }),
        }),
        // Where nothing hovers, what is said below the text is enough.
        ...(matchMedia('(hover: hover)').matches
          ? [
              hoverTooltip(({ state }, pos) =>
                explanationTip(explanationAt(state.doc.toString(), pos, schema)),
              ),
            ]
          : []),
        EditorView.updateListener.of(({ docChanged, selectionSet, transactions, state }) => {
          const typed = docChanged && !transactions.every(each => each.annotation(fromElsewhere))
          if (typed) onchange(state.doc.toString())
          if (docChanged || selectionSet) onplace(placeIn(state, schema))
        }),
      ],
    }),
  })
  onplace(placeIn(view.state, schema))
  return {
    setText: after => {
      const changes = textDifference(view.state.doc.toString(), after)
      if (changes === null) return
      const isShort = changes.to - changes.from <= SHORT && changes.insert.length <= SHORT
      view.dispatch({
        changes,
        annotations: [fromElsewhere.of(true), ...(isShort ? [] : [isolateHistory.of('full')])],
      })
    },
    setFindings: findings => view.dispatch(showFindings(view.state, findings)),
    goTo: (line, column = 1) => {
      const { from, to } = view.state.doc.line(Math.min(Math.max(1, line), view.state.doc.lines))
      const at = Math.min(from + column - 1, to)
      view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: 'center' }) })
      view.focus()
    },
    undo: () => undo(view),
    redo: () => redo(view),
    destroy: () => view.destroy(),
  }
}

function basics({ label, describedBy }: EditorOptions): Extension {
  return [
    lineNumbers(),
    history(),
    indentOnInput(),
    bracketMatching(),
    closeBrackets(),
    highlightActiveLine(),
    highlightActiveLineGutter(),
    yaml(),
    EditorState.tabSize.of(2),
    // Above everything: within the editor, a picture that stays in sight beside it would lie over what is explained.
    tooltips({ position: 'fixed', parent: globalThis.document.body }),
    EditorView.contentAttributes.of({
      'aria-label': label,
      'aria-describedby': describedBy,
      // What can be edited can have the focus anyway; programs that check pages look for it.
      tabindex: '0',
      spellcheck: 'false',
      autocapitalize: 'off',
      autocorrect: 'off',
    }),
    keymap.of([
      ...closeBracketsKeymap,
      ...completionKeymap,
      { key: 'Tab', run: acceptCompletion },
      { key: 'F8', run: nextDiagnostic, shift: previousDiagnostic, preventDefault: true },
      ...historyKeymap,
      ...defaultKeymap,
      indentWithTab,
    ]),
  ]
}

function completions(
  text: string,
  at: number,
  schema: JsonSchema,
  units: DisplayUnits,
): CompletionResult | null {
  const found = offersAt(text, at, schema, units)
  if (found === null) return null
  return {
    from: found.from,
    options: found.offers.map((offer, index) => completionOf(offer, found.offers.length - index)),
  }
}

/** In the order of the schema, which is the order in which people write. */
function completionOf({ label, insert, meaning, isNeeded }: Offer, rank: number): Completion {
  return {
    label,
    ...(isNeeded ? { detail: 'needed' } : {}),
    ...(meaning === '' ? {} : { info: plainWords(meaning) }),
    boost: Math.min(99, rank),
    apply: (view, _, from, to) => {
      const cursor = insert.indexOf(CURSOR)
      const plain = insert.replace(CURSOR, '')
      view.dispatch({
        changes: { from, to, insert: plain },
        selection: { anchor: from + (cursor === -1 ? plain.length : cursor) },
        userEvent: 'input.complete',
      })
      if (cursor !== -1 || plain.endsWith(' ')) startCompletion(view)
    },
  }
}

function placeIn(state: EditorState, schema: JsonSchema): PlaceInEditor {
  const at = state.selection.main.head
  return {
    line: state.doc.lineAt(at).number,
    explanation: explanationAt(state.doc.toString(), at, schema),
    canUndo: undoDepth(state) > 0,
    canRedo: redoDepth(state) > 0,
  }
}

function explanationTip(explanation: Explanation | null) {
  if (explanation === null) return null
  const { from, to, key, meaning, written } = explanation
  return {
    pos: from,
    end: to,
    create: () => {
      const dom = document.createElement('div')
      dom.className = 'cm-explained'
      const what = document.createElement('p')
      const name = document.createElement('strong')
      name.textContent = key
      what.append(name, meaning === '' ? '' : `: ${plainWords(meaning)}`)
      dom.append(what)
      for (const way of written) {
        const line = document.createElement('p')
        line.className = 'cm-written'
        line.textContent = way
        dom.append(line)
      }
      return { dom }
    },
  }
}
