import type { Finding } from '@attemper/core/finding.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { readyTelling } from '../cellar/batch-telling.ts'
import { isConfirmed, YES_OPTION } from '../cellar/confirm.ts'
import { fromNowText } from '../cellar/from-now-text.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, PLAN_ARGUMENT, UNIT_OPTIONS } from '../command.ts'
import { RefusedError } from '../exit-status.ts'
import { findingsText, hasErrors } from '../sources.ts'
import { readText } from '../text-file.ts'

/** Gives a running batch another plan for what is still to come. */
export const CHANGE: Command = {
  name: 'change',
  summary:
    'Changes the rest of the plan of a running batch: proof-read and rehearsed from now on before you decide.',
  arguments: [BATCH_ARGUMENT, PLAN_ARGUMENT],
  options: [YES_OPTION, CELLAR_OPTION, ...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper change amber longer-rest.plan.yaml'],
  statuses: {
    good: 'changed, or left as it was on second thoughts',
    bad: 'the new plan has errors, or the cellar refused',
  },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch, units) => {
      const file = given.arguments[1]!
      const planText = readText(file, io.folder)
      const findings = findingsOf(planText, file, batch, units)
      if (findings.length > 0) io.err(`${findingsText(findings, new Map([[file, planText]]), io)}\n`)
      if (hasErrors(findings)) {
        throw new RefusedError(`The new plan has errors, so ${batch.id} goes on with the old one.`)
      }
      io.err(`${fromNowText(await client.get<BatchView>(pathOf(batch)), planText, units, io.columns)}\n\n`)
      if (!(await isConfirmed(given, io, `Take the new plan over for ${batch.id}?`))) return null
      await client.put(pathOf(batch, '/plan'), { plan: planText })
      return 'The new plan is followed from now on.'
    }),
}

/** What the proof-reader says about the new plan with this batch's vessel and beer. */
function findingsOf(
  planText: string,
  file: string,
  batch: BatchRecord,
  units: DisplayUnits,
): readonly Finding[] {
  const { plan, findings } = readPlan(planText, file)
  if (plan === null) return findings
  const { vessel, beer } = readyTelling(batch, units).case
  return [...findings, ...proofRead({ plan, planFile: file, vessel, beer, units })]
}
