import type { Finding } from '../finding.ts'
import { readYaml } from '../source-text/read-yaml.ts'
import { startReading } from '../source-text/reading.ts'
import { checkNames } from './check-names.ts'
import type { Plan } from './plan.ts'
import { planShape } from './plan-shape.ts'

/**
 * Reads a plan from the text of a file. `file` is only the name to be given with the findings.
 *
 * Everything that is wrong is a finding with its place and its cure; the plan is null when one of them is an error.
 * Never throws, whatever the text.
 */
export function readPlan(text: string, file: string): { plan: Plan | null; findings: Finding[] } {
  const reading = startReading(text, file)
  const tree = readYaml(reading)
  const plan = tree === null ? undefined : planShape.read(tree, reading)
  if (plan !== undefined) checkNames(plan, reading)
  const findings = reading.findings()
  return { plan: plan === undefined || reading.hasErrors() ? null : plan, findings }
}
