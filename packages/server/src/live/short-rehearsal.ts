import { type BatchCase, FILES } from '@attemper/core/batch/batch-case.ts'
import type { Finding } from '@attemper/core/finding.ts'
import type { Harm } from '@attemper/core/rehearsal/record.ts'
import { harmOf, RISKS } from '@attemper/core/rehearsal/risks.ts'
import { NOMINAL_RUN, simulateRun } from '@attemper/core/rehearsal/run.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { reasonOf } from './trouble.ts'

/** From here on a harm is worth a warning at the start, 0 to 1; judgement (common practice, no source). */
const SERIOUS = 0.3
const CURE = 'Rehearse the plan with this vessel and this beer, and look at the stage where it happens.'

/**
 * The nominal run alone, from now: everything as the files say, no faults. It takes a fraction of a second (the simulated
 * time is bounded by the plan's longest times), so it fits between pressing "start" and the start; the full rehearsal
 * belongs to before.
 */
export function rehearseShortly(batch: BatchCase, start_s: number): readonly Finding[] {
  const { plan, vessel, beer, program } = batch
  const { localOffset_s } = program
  const starts = { ...beer, start: { ...beer.start, local_s: start_s + localOffset_s } }
  try {
    const run = simulateRun(prepare(plan, vessel, starts, { seed: 1, localOffset_s }), NOMINAL_RUN)
    return run.harms.filter(isSerious).map(harm => findingOf(harm, batch))
  } catch (error) {
    // A model that can not cope with a file must not keep a beer from being looked after.
    const message = `The short rehearsal could not be carried out: ${reasonOf(error)}.`
    return [{ ...placeOf(batch, 0), severity: 'warning', code: 'rehearsal-failed', message, cure: CURE }]
  }
}

function isSerious({ code, extent }: Harm): boolean {
  const kind = RISKS.find(each => each.code === code)
  return kind !== undefined && harmOf(kind, extent) >= SERIOUS
}

function findingOf({ code, stage }: Harm, batch: BatchCase): Finding {
  const { message } = RISKS.find(each => each.code === code)!
  const name = batch.plan.stages[stage]?.name
  return {
    ...placeOf(batch, stage),
    severity: 'warning',
    code: `rehearsal-${code}`,
    message: `In a rehearsal with everything as expected${name === undefined ? '' : `, in ${name}`}: ${message}`,
    cure: CURE,
  }
}

function placeOf({ plan }: BatchCase, stage: number): Pick<Finding, 'file' | 'line' | 'column' | 'length'> {
  const { line, column, length } = (plan.stages[stage] ?? plan).place
  return { file: FILES.plan, line, column, length: Math.max(1, length) }
}
