import type { Finding } from '@attemper/core/finding.ts'
import { readDoorSettings } from '@attemper/server/doors/door-settings.ts'
import { CELLAR_OPTION, CellarRefused, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import { findingsText, hasErrors } from '../sources.ts'
import { readText } from '../text-file.ts'

/** Adds a vessel to the cellar, changes it, or takes it away. */
export const VESSEL: Command = {
  name: 'vessel',
  summary: 'Adds a vessel with its instruments and appliances to the cellar, or takes one away.',
  arguments: [
    { name: 'WHAT', about: 'add (also to change it) or remove' },
    { name: 'VESSEL', about: 'add: its file; remove: its name' },
  ],
  options: [
    {
      name: 'doors',
      value: 'FILE',
      about: 'add: how its instruments are heard and its appliances switched (usually by MQTT)',
    },
    CELLAR_OPTION,
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper vessel add garage-fridge.vessel.yaml',
    'attemper vessel add fridge.vessel.yaml --doors fridge.doors.yaml',
    'attemper vessel remove "Garage fridge"',
  ],
  statuses: { good: 'done', bad: 'the cellar refused: the file has errors, or a batch is in the vessel' },
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
    if (what !== 'add') throw new UsageError(`WHAT should be add or remove, but is "${what}".`)
    const text = readText(vessel, io.folder)
    const doorsFile = given.text('doors')
    const doors = doorsFile === undefined ? '' : readText(doorsFile, io.folder)
    const texts = new Map([
      [vessel, text],
      [doorsFile ?? '', doors],
    ])
    const inDoors = readDoorSettings(doors, doorsFile ?? '').findings
    if (hasErrors(inDoors)) {
      io.err(findingsText(inDoors, texts, io, OF_A_VESSEL))
      return EXIT.bad
    }
    const named = (findings: readonly Finding[]) => findings.map(each => ({ ...each, file: vessel }))
    try {
      const answer = await client.post<{ name: string; findings: readonly Finding[] }>('/vessels', {
        text,
        doors,
      })
      const findings = [...named(answer.findings), ...inDoors]
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

const OF_A_VESSEL = {
  withErrors: 'the cellar is as it was before',
  without: 'nothing that keeps the vessel out of the cellar',
}
