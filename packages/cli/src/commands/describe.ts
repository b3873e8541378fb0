import { describePlan } from '@attemper/core/plan/english.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { type Command, JSON_OPTION, PLAN_ARGUMENT, UNIT_OPTIONS } from '../command.ts'
import { EXIT } from '../exit-status.ts'
import { unitsFor } from '../settings.ts'
import { findingsText, readSources } from '../sources.ts'

/** Says a plan back in plain English. */
export const DESCRIBE: Command = {
  name: 'describe',
  summary: 'Says a plan back in plain English, so that you can read whether it is what you meant.',
  arguments: [PLAN_ARGUMENT],
  options: [...UNIT_OPTIONS, JSON_OPTION],
  needs: [],
  examples: ['attemper describe amber.plan.yaml', 'attemper describe amber.plan.yaml --units °F,°P'],
  statuses: { good: 'described', bad: 'the plan has errors, so that it can not be described' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const sources = readSources({ plan: given.arguments[0]! }, io.folder)
    const { plan, findings } = sources
    if (plan === null) {
      io.err(findingsText(findings, sources.texts, io))
      return EXIT.bad
    }
    const sentences = describePlan(plan, units)
    if (given.switch('json')) {
      io.out(`${JSON.stringify({ plan: plan.name, side: plan.side, sentences }, null, 2)}\n`)
      return EXIT.good
    }
    const body = sentences.map(sentence => paragraph(sentence, io.columns)).join('\n\n')
    io.out(`${body}\n`)
    return EXIT.good
  },
}
