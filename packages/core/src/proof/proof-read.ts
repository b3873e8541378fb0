import type { Beer } from '../beer/beer.ts'
import type { Finding } from '../finding.ts'
import type { Plan } from '../plan/plan.ts'
import { type DisplayUnits, USUAL_UNITS } from '../units/display.ts'
import type { Vessel } from '../vessel/vessel.ts'
import { proofContext } from './context.ts'
import { RULES } from './rules.ts'
import { sayIn } from './say.ts'

export interface ProofInput {
  readonly plan: Plan
  readonly planFile: string
  readonly vessel?: Vessel | undefined
  /** As findings should name it. */
  readonly vesselFile?: string | undefined
  readonly beer?: Beer | undefined
  readonly beerFile?: string | undefined
  /** In which the sentences say their numbers; left out: °C and specific gravity. */
  readonly units?: DisplayUnits | undefined
}

/**
 * Proof-reads a plan, without simulating: every rule of rules.ts in turn. More is found when the vessel and the beer are
 * given. Pure, and linear in the number of stages and conditions.
 *
 * @returns findings sorted by file, line and column; none when nothing is wrong
 */
export function proofRead(input: ProofInput): readonly Finding[] {
  const { plan, vessel, beer } = input
  const files = {
    plan: input.planFile,
    vessel: input.vesselFile ?? 'vessel',
    beer: input.beerFile ?? 'beer',
  }
  const context = proofContext(plan, vessel, beer, sayIn(input.units ?? USUAL_UNITS))
  const findings = RULES.flatMap(rule =>
    rule.check(context).map(({ severity, file, place, message, cure }): Finding => {
      return {
        severity: severity ?? rule.severity,
        code: rule.code,
        file: files[file],
        line: place.line,
        column: place.column,
        length: Math.max(1, place.length),
        message,
        cure,
      }
    }),
  )
  return findings.sort(
    (a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0) || a.line - b.line || a.column - b.column,
  )
}
