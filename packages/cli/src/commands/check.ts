import {
  BEER_OPTION,
  type Command,
  JSON_OPTION,
  PLAN_ARGUMENT,
  UNIT_OPTIONS,
  VESSEL_OPTION,
} from '../command.ts'
import { EXIT } from '../exit-status.ts'
import { allFindings } from '../proof.ts'
import { publishedFinding } from '../published-finding.ts'
import { unitsFor } from '../settings.ts'
import { findingsText, hasErrors, readSources } from '../sources.ts'

/** Proof-reads a plan without simulating anything. */
export const CHECK: Command = {
  name: 'check',
  summary: 'Proof-reads a plan in milliseconds, without simulating: what is wrong, where, and the cure.',
  arguments: [PLAN_ARGUMENT],
  options: [
    { ...VESSEL_OPTION, about: 'also judge the plan against this vessel' },
    { ...BEER_OPTION, about: 'also judge the plan against this beer and its yeast' },
    ...UNIT_OPTIONS,
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
    const findings = allFindings(sources, unitsFor(given, io))
    if (given.switch('json'))
      io.out(`${JSON.stringify({ findings: findings.map(publishedFinding) }, null, 2)}\n`)
    else io.out(findingsText(findings, sources.texts, io))
    return hasErrors(findings) ? EXIT.bad : EXIT.good
  },
}
