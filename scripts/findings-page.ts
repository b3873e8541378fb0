import { RULES } from '@attemper/core/proof/rules.ts'
import { READER_CODES } from '@attemper/core/source-text/finding-codes.ts'

const INTRODUCTION = `Whatever is wrong with a plan, a vessel or a beer is said as a finding: its severity, a code, its place, what is wrong,
and the cure. The code is stable, so that a program can look for it; the wording is not.

An error stops a batch from being started: it would do harm, or never work. A warning is probably not meant. A note is
good to know.

Software is never the only protection. Where heat, pressure, electricity or carbon dioxide are involved, follow local
codes and licensed practice.`

/** Every code that a reader or the proof-reader can give, from the tables by which they are given. */
export function findingsPage(): string {
  const read = Object.entries(READER_CODES).map(([code, meaning]) => `| \`${code}\` | ${meaning} |`)
  const rules = RULES.toSorted((a, b) => (a.code < b.code ? -1 : 1)).map(
    ({ code, severity, title, why }) =>
      `### ${code}\n\nUsually: ${severity}. ${title}\n\nWhy it matters: ${why}`,
  )
  return [
    '# Findings',
    INTRODUCTION,
    '## From reading the files',
    ['| code | meaning |', '| --- | --- |', ...read].join('\n'),
    '## From proof-reading',
    'The proof-reader simulates nothing: it looks at the plan, and at the vessel and the beer when they are given.',
    ...rules,
  ]
    .join('\n\n')
    .concat('\n')
}
