import type { Finding } from '@attemper/core/finding.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { askReadiness, checksText } from '../cellar/readiness-text.ts'
import { CELLAR_OPTION, CellarRefused, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { EXIT, type ExitStatus, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { publishedFinding } from '../published-finding.ts'
import { unitsFor } from '../settings.ts'
import { findingsText, hasErrors } from '../sources.ts'
import { readText } from '../text-file.ts'

/** Adds a vessel to the cellar, changes it, takes it away, or looks whether it is ready for a batch. */
export const VESSEL: Command = {
  name: 'vessel',
  summary:
    'Adds a vessel with its instruments and appliances to the cellar, takes one away, or looks whether one is ready.',
  arguments: [
    {
      name: 'WHAT',
      about: 'add (also to change it), remove, or ready: is all as it must be before a start?',
    },
    { name: 'VESSEL', about: 'add: its file; remove and ready: its name' },
  ],
  options: [
    {
      name: 'doors',
      value: 'FILE',
      about: 'add: how its instruments are heard and its appliances switched (usually by MQTT)',
    },
    { name: 'beer', value: 'FILE', about: 'ready: the beer that is to go in' },
    { name: 'plan', value: 'FILE', about: 'ready: the plan, to be proof-read with beer and vessel' },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper vessel add garage-fridge.vessel.yaml',
    'attemper vessel add fridge.vessel.yaml --doors fridge.doors.yaml',
    'attemper vessel ready "Garage fridge" --beer amber.beer.yaml',
    'attemper vessel remove "Garage fridge"',
  ],
  statuses: {
    good: 'done; ready: it is ready',
    bad: 'the cellar refused: the file has errors, or a batch is in the vessel; ready: it is not ready',
  },
  async run(given, io) {
    const [what, vessel] = given.arguments as [string, string]
    const client = cellarFor(given, io)
    const say = (data: object, sentence: string) =>
      io.out(given.switch('json') ? `${JSON.stringify(data, null, 2)}\n` : `${sentence}\n`)
    if (what === 'remove') {
      await client.delete(`/vessels/${encodeURIComponent(vessel)}`)
      say({ removed: vessel }, `${vessel} is taken out of the cellar. Its readings and batches are kept.`)
      return EXIT.good
    }
    if (what === 'ready') return look(vessel, given, io)
    if (what !== 'add') throw new UsageError(`WHAT should be add, remove or ready, but is "${what}".`)
    const text = readText(vessel, io.folder)
    const doorsFile = given.text('doors')
    const doors = doorsFile === undefined ? '' : readText(doorsFile, io.folder)
    const texts = new Map([
      [vessel, text],
      [doorsFile ?? '', doors],
    ])
    const named = (findings: readonly Finding[]) =>
      findings.map(each => ({ ...each, file: each.file === 'doors' ? (doorsFile ?? '') : vessel }))
    try {
      const answer = await client.post<{ name: string; findings: readonly Finding[] }>('/vessels', {
        text,
        doors,
      })
      const findings = named(answer.findings)
      if (findings.length > 0) io.err(findingsText(findings, texts, io, OF_A_VESSEL))
      say({ added: answer.name }, `${answer.name} is in the cellar.`)
      return EXIT.good
    } catch (error) {
      if (!(error instanceof CellarRefused) || error.findings.length === 0) throw error
      io.err(findingsText(named(error.findings), texts, io, OF_A_VESSEL))
      return EXIT.bad
    }
  },
}

/** Shows what must be true before a start, and what is not. */
async function look(vessel: string, given: Given, io: Io): Promise<ExitStatus> {
  const files = { beer: given.text('beer'), plan: given.text('plan') }
  const texts = {
    ...(files.beer === undefined ? {} : { beer: readText(files.beer, io.folder) }),
    ...(files.plan === undefined ? {} : { plan: readText(files.plan, io.folder) }),
  }
  const readiness = await askReadiness(cellarFor(given, io), vessel, texts, unitsFor(given, io))
  const named = readiness.findings.map(each => ({
    ...each,
    file: files[each.file as keyof typeof files] ?? `${vessel}, in the cellar`,
  }))
  const byFile = new Map(
    Object.entries(texts).map(([part, text]) => [files[part as keyof typeof files] ?? part, text]),
  )
  if (given.switch('json'))
    io.out(`${JSON.stringify({ ...readiness, findings: named.map(publishedFinding) }, null, 2)}\n`)
  else {
    io.out(`${paragraph(readiness.sentence, io.columns)}\n\n${checksText(readiness.checks, io.columns)}\n`)
    if (named.length > 0) io.err(`\n${findingsText(named, byFile, io)}\n`)
  }
  return readiness.ready && !hasErrors(named) ? EXIT.good : EXIT.bad
}

const OF_A_VESSEL = {
  withErrors: 'the cellar is as it was before',
  without: 'nothing that keeps the vessel out of the cellar',
}
