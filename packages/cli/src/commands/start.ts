import type { Finding } from '@attemper/core/finding.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { Readiness } from '@attemper/server/http/published.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import { pathOf } from '../cellar/batch-action.ts'
import { sentenceOf } from '../cellar/batch-sentence.ts'
import { publishedBatch } from '../cellar/published-batch.ts'
import { askReadiness, checksText } from '../cellar/readiness-text.ts'
import { CELLAR_OPTION, type CellarClient, CellarRefused, cellarFor } from '../cellar-client.ts'
import { BEER_OPTION, type Command, JSON_OPTION, PLAN_ARGUMENT, UNIT_OPTIONS } from '../command.ts'
import { EXIT } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { unitsFor } from '../settings.ts'
import { findingsText, hasErrors } from '../sources.ts'
import { readText } from '../text-file.ts'

/** Starts a batch in a vessel of the cellar. */
export const START: Command = {
  name: 'start',
  summary:
    'Starts a batch, now: proof-reads and shortly rehearses the plan first, and does not start with errors.',
  arguments: [PLAN_ARGUMENT],
  options: [
    { name: 'vessel', value: 'NAME', about: "the vessel's name in the cellar" },
    BEER_OPTION,
    { name: 'overrule', value: 'REASON', about: 'start in spite of errors; the reason is kept in the log' },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: ['vessel', 'beer'],
  examples: ['attemper start amber.plan.yaml --vessel "Garage fridge" --beer amber.beer.yaml'],
  statuses: { good: 'started', bad: 'not started: there are errors, or the vessel is not free' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const client = cellarFor(given, io)
    const files = { plan: given.arguments[0]!, beer: given.text('beer')! }
    const texts = { plan: readText(files.plan, io.folder), beer: readText(files.beer, io.folder) }
    const overrule = given.text('overrule')
    const show = (findings: readonly Finding[]) => showFindings(findings, files, texts, io)
    await sayBefore(client, given.text('vessel')!, texts.beer, units, io)
    let started: { readonly batch: string; readonly findings: readonly Finding[] }
    try {
      started = await client.post('/batches', {
        vessel: given.text('vessel'),
        ...texts,
        localOffset_s: localOffset_s(io),
        ...(overrule === undefined ? {} : { overrule }),
      })
    } catch (error) {
      if (!(error instanceof CellarRefused) || error.findings.length === 0) throw error
      show(error.findings)
      io.err('\nNot started. Correct the errors, or say with --overrule why they do not matter.\n')
      return EXIT.bad
    }
    show(started.findings.filter(({ severity }) => severity !== 'note'))
    const view = await client.get<BatchView>(pathOf({ id: started.batch }))
    if (given.switch('json')) {
      io.out(`${JSON.stringify(publishedBatch(view), null, 2)}\n`)
      return EXIT.good
    }
    io.out(`${paragraph(`Started as ${started.batch}. ${sentenceOf(view, units)}`, io.columns)}\n`)
    io.out(`\nWatch it: attemper watch ${started.batch}\n`)
    return EXIT.good
  },
}

/**
 * Says what is not as it should be before a start. It stops nothing: the brewer may know better, and what is missing may come
 * in the next hour. A cellar that is older than this question, or a vessel that is not there, is no reason to fail here.
 */
async function sayBefore(
  client: CellarClient,
  vessel: string,
  beer: string,
  units: DisplayUnits,
  io: Io,
): Promise<void> {
  let readiness: Readiness
  try {
    readiness = await askReadiness(client, vessel, { beer }, units)
  } catch (error) {
    if (error instanceof CellarRefused) return
    throw error
  }
  const open = readiness.checks.filter(({ state }) => state !== 'ok')
  if (open.length === 0) {
    io.err(`${paragraph(readiness.sentence, io.columns)}\n`)
    return
  }
  const asItShouldBe = readiness.checks.length - open.length
  const first = `Before the start, ${asItShouldBe} of ${readiness.checks.length} things are as they should be. The others, none of which stops it:`
  io.err(`${paragraph(first, io.columns)}\n`)
  io.err(`${checksText(open, io.columns)}\n\n`)
}

/** What this machine's clock on the wall is ahead of UTC. */
function localOffset_s(io: Io): number {
  return -new Date(io.now_ms()).getTimezoneOffset() * 60
}

/** The cellar knows no files: its findings are shown with those that they come from, as far as they are here. */
function showFindings(
  findings: readonly Finding[],
  files: Readonly<Record<string, string>>,
  texts: Readonly<Record<string, string>>,
  io: Io,
): void {
  if (findings.length === 0) return
  const named = findings.map(each => ({ ...each, file: files[each.file] ?? each.file }))
  const byFile = new Map(Object.entries(files).map(([part, file]) => [file, texts[part] ?? '']))
  const warnings = named.filter(({ severity }) => severity === 'warning').length
  if (hasErrors(named)) io.err(findingsText(named, byFile, io))
  else if (warnings > 0) io.err(`${findingsText(named, byFile, io)}\n`)
}
