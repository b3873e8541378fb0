import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import { whyThen } from '@attemper/server/live/why.ts'
import { pathOf } from '../cellar/batch-action.ts'
import { readyTelling } from '../cellar/batch-telling.ts'
import { momentText } from '../cellar/moment-text.ts'
import { localOf } from '../cellar/published-batch.ts'
import { readLog } from '../cellar/read-log.ts'
import { BATCH_ARGUMENT, whichBatch } from '../cellar/which-batch.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import { unitsFor } from '../settings.ts'

/** Why an appliance is, or was, on or off, or a thermostat set as it is. */
export const WHY: Command = {
  name: 'why',
  summary:
    'Says why the heater, the cooler or the thermostat of a batch is on, off or set as it is, now or at a time in the past.',
  arguments: [BATCH_ARGUMENT, { name: 'APPLIANCE', about: 'heater, cooler or thermostat' }],
  options: [
    { name: 'at', value: 'TIME', about: 'local time, such as 2026-12-06T03:15 (usually now)' },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: ['attemper why amber cooler', 'attemper why amber heater --at 2026-12-06T03:15'],
  statuses: { good: 'said', bad: 'the cellar refused' },
  async run(given, io) {
    const units = unitsFor(given, io)
    const client = cellarFor(given, io)
    const [word, appliance] = given.arguments as [string, string]
    if (appliance !== 'heater' && appliance !== 'cooler' && appliance !== 'thermostat') {
      throw new UsageError(`APPLIANCE should be heater, cooler or thermostat, but is "${appliance}".`)
    }
    const batch = await whichBatch(client, word)
    const at = given.text('at')
    const moment = at === undefined ? '' : `&at=${momentText(at, batch)}`
    const answer = await client.get<{ sentence: string; at_ms: number }>(
      pathOf(batch, `/why?appliance=${appliance}${moment}`),
    )
    let { sentence } = answer
    const { program, context } = readyTelling(batch, units).case
    const isUsual = units.temperature === USUAL_UNITS.temperature
    if (!isUsual && program[appliance] !== null && answer.at_ms >= batch.started_ms) {
      // The cellar speaks in its own units; from the log the same is said in the brewer's.
      const entries = (await readLog(client, batch)).filter(({ at_ms }) => at_ms <= answer.at_ms)
      sentence = whyThen(entries, appliance, { context, localOffset_s: batch.localOffset_s })
    }
    if (given.switch('json')) {
      const data = { batch: batch.id, appliance, time: localOf(answer.at_ms, batch), sentence }
      io.out(`${JSON.stringify(data, null, 2)}\n`)
    } else io.out(`${paragraph(sentence, io.columns)}\n`)
    return EXIT.good
  },
}
