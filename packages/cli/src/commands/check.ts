import type { Finding } from '@attemper/core/finding.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { BEER_OPTION, type Command, JSON_OPTION, PLAN_ARGUMENT, VESSEL_OPTION } from '../command.ts'
import { EXIT } from '../exit-status.ts'
import { findingsText, hasErrors, readSources, type Sources } from '../sources.ts'

/** Proof-reads a plan without simulating anything. */
export const CHECK: Command = {
  name: 'check',
  summary: 'Proof-reads a plan in milliseconds, without simulating: what is wrong, where, and the cure.',
  arguments: [PLAN_ARGUMENT],
  options: [
    { ...VESSEL_OPTION, about: 'also judge the plan against this vessel' },
    { ...BEER_OPTION, about: 'also judge the plan against this beer and its yeast' },
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper check amber.plan.yaml',
    'attemper check amber.plan.yaml --vessel fridge.vessel.yaml --beer amber.beer.yaml',
    'attemper check amber.plan.yaml --json | jq .findings',
  ],
  statuses: { good: 'no finding of level error', bad: 'at least one finding of level error' },
  async run(given, io) {
    const files = {
      plan: given.arguments[0]!,
      vessel: given.text('vessel'),
      beer: given.text('beer'),
    }
    const sources = readSources(files, io.folder)
    const findings = allFindings(sources)
    if (given.switch('json')) io.out(`${JSON.stringify({ findings: findings.map(published) }, null, 2)}\n`)
    else io.out(findingsText(findings, sources.texts, io))
    return hasErrors(findings) ? EXIT.bad : EXIT.good
  },
}

/** What the readers found, then what the proof-reader found in what could be read. */
export function allFindings(sources: Sources): readonly Finding[] {
  const { plan, vessel, beer, findings, files } = sources
  if (plan === null) return findings
  return [...findings, ...proofRead({ plan, vessel, beer, files })]
}

/** The published shape of a finding, docs/reference/output/check.schema.json. */
function published({ severity, code, file, line, column, message, cure }: Finding) {
  return { severity, code, file, line, column, message, cure }
}
