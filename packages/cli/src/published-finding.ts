import type { Finding } from '@attemper/core/finding.ts'

/** The published shape of a finding, docs/reference/output/check.schema.json. */
export function publishedFinding({ severity, code, file, line, column, message, cure }: Finding) {
  return { severity, code, file, line, column, message, cure }
}
