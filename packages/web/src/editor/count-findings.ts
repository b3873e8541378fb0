import type { Severity } from '@attemper/core/finding.ts'

/** "1 error and 2 warnings."; the gravest first. */
export function countFindings(findings: readonly { readonly severity: Severity }[]): string {
  const counted = (['error', 'warning', 'note'] as const).flatMap(severity => {
    const count = findings.filter(each => each.severity === severity).length
    return count === 0 ? [] : [`${count} ${severity}${count === 1 ? '' : 's'}`]
  })
  if (counted.length === 0) return 'Nothing found that is wrong.'
  const last = counted.pop()!
  return counted.length === 0 ? `${last}.` : `${counted.join(', ')} and ${last}.`
}
