import type { Finding, Severity } from '../finding.ts'
import { characterWidth, widthOf } from './text/width.ts'
import { paragraph } from './text/wrap.ts'

/**
 * A finding as text: where and which, the line of the source with the place underlined, what is wrong, and the cure.
 * `source` is the text of the file that the finding names; without it the line is not quoted.
 */
export function findingText(
  finding: Finding,
  source: string | undefined,
  { width, heading }: { readonly width: number; readonly heading: (text: string) => string },
): string {
  const place = `${finding.file}:${finding.line}:${finding.column}`
  const quoted = source?.split(/\r\n|\n|\r/)[finding.line - 1]
  return [
    heading(`${place}: ${finding.severity} ${finding.code}`),
    ...(quoted === undefined || quoted.trim() === '' ? [] : quote(quoted, finding, width)),
    paragraph(finding.message, width, INDENT),
    paragraph(`Cure: ${finding.cure}`, width, INDENT, `${INDENT}      `),
  ].join('\n')
}

/** What findings mean for the text that they are about. */
export interface Verdicts {
  readonly withErrors: string
  readonly without: string
}

const OF_A_PLAN: Verdicts = {
  withErrors: 'this plan should not be started',
  without: 'nothing that stops a start',
}

/** The line below all findings. */
export function findingsSummary(findings: readonly Finding[], verdicts: Verdicts = OF_A_PLAN): string {
  const count = (severity: Severity) => findings.filter(finding => finding.severity === severity).length
  const counts = (['error', 'warning', 'note'] as const)
    .map(severity => [count(severity), severity] as const)
    .filter(([number]) => number > 0)
    .map(([number, severity]) => `${number} ${severity}${number === 1 ? '' : 's'}`)
  if (counts.length === 0) return 'Nothing found.'
  const verdict = count('error') > 0 ? verdicts.withErrors : verdicts.without
  return `${counts.join(', ')}: ${verdict}.`
}

const INDENT = '  '

/**
 * The line and its underline. Tabs become spaces and control characters a middle dot, so that both lines stay aligned;
 * of a line that is longer than the terminal, the part around the place is shown.
 */
function quote(line: string, finding: Finding, width: number): string[] {
  const number = String(finding.line)
  const room = Math.max(20, width - INDENT.length - number.length - 3)
  const from = Math.min(finding.column - 1, line.length)
  const to = Math.min(line.length, from + Math.max(1, finding.length))
  const before = spread(line.slice(0, from), 0)
  const marked = spread(line.slice(from, to), widthOf(before))
  const after = spread(line.slice(to), widthOf(before) + widthOf(marked))

  let head = before
  let tail = marked + after
  if (widthOf(before + marked + after) > room) {
    const keep = Math.max(8, Math.floor(room / 3))
    head = widthOf(before) > keep ? `…${lastColumns(before, keep - 1)}` : before
    tail = firstColumns(tail, room - widthOf(head))
  }
  const carets = Math.max(1, Math.min(widthOf(marked), room - widthOf(head)))
  return [
    `${INDENT}${number} │ ${head}${tail}`.trimEnd(),
    `${INDENT}${' '.repeat(number.length)} │ ${' '.repeat(widthOf(head))}${'^'.repeat(carets)}`,
  ]
}

function spread(text: string, column: number): string {
  let result = ''
  for (const character of text) {
    if (character === '\t') result += ' '.repeat(characterWidth(character, column + widthOf(result)))
    else result += /\p{Cc}/u.test(character) ? '·' : character
  }
  return result
}

function firstColumns(text: string, columns: number): string {
  let head = ''
  let width = 0
  for (const character of text) {
    width += characterWidth(character, 0)
    if (width > columns - 1) return `${head}…`
    head += character
  }
  return head
}

function lastColumns(text: string, columns: number): string {
  const characters = [...text]
  let width = 0
  let start = characters.length
  while (start > 0) {
    width += characterWidth(characters[start - 1]!, 0)
    if (width > columns) break
    start -= 1
  }
  return characters.slice(start).join('')
}
