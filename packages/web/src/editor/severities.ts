import type { Severity } from '@attemper/core/finding.ts'

/** How a finding is marked: a sign and a word, so that nobody needs to see its colour. The gravest first. */
export const SEVERITIES: Readonly<Record<Severity, { readonly sign: string; readonly word: string }>> = {
  error: { sign: '✕', word: 'Error' },
  warning: { sign: '!', word: 'Warning' },
  note: { sign: 'i', word: 'Note' },
}

export function gravest(severities: readonly Severity[]): Severity {
  return (Object.keys(SEVERITIES) as Severity[]).find(each => severities.includes(each)) ?? 'note'
}
