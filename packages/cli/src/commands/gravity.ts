import { formatGravity } from '@attemper/core/units/format.ts'
import { isRefractometerText, readGravityText } from '@attemper/core/units/read-gravity.ts'
import { actOnBatch, pathOf } from '../cellar/batch-action.ts'
import { momentText } from '../cellar/moment-text.ts'
import { BATCH_ARGUMENT } from '../cellar/which-batch.ts'
import { CELLAR_OPTION } from '../cellar-client.ts'
import { type Command, JSON_OPTION, UNIT_OPTIONS } from '../command.ts'
import { UsageError } from '../exit-status.ts'

/** Enters what the brewer read off a hydrometer. */
export const GRAVITY: Command = {
  name: 'gravity',
  summary: 'Enters a gravity that you read by hand.',
  arguments: [
    BATCH_ARGUMENT,
    {
      name: 'VALUE',
      about:
        'such as 1.012 or "3.1 °P", corrected for the temperature of the sample; or "6.4 °Bx" of a refractometer, which the cellar corrects for the alcohol',
    },
  ],
  options: [
    {
      name: 'at',
      value: 'TIME',
      about: 'local time of the sample, such as 2026-12-09T19:30 (usually now)',
    },
    {
      name: 'original',
      about: 'it is the original gravity: attenuation is counted from it, whatever the float says',
    },
    CELLAR_OPTION,
    ...UNIT_OPTIONS,
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper gravity amber 1.012',
    'attemper gravity amber "3.1 °P" --at 2026-12-09T19:30',
    'attemper gravity amber 1.052 --original',
  ],
  statuses: { good: 'kept', bad: 'the cellar refused, for example because it can not be' },
  run: (given, io) =>
    actOnBatch(given, io, async (client, batch, units) => {
      const [, value] = given.arguments as [string, string]
      // What a refractometer shows needs the original gravity, which the cellar knows.
      const parsed = readGravityText(value, 'wort')
      if (!parsed.ok) throw new UsageError(`VALUE: ${parsed.problem.message} ${parsed.problem.cure}`)
      const at = given.text('at')
      if (given.switch('original')) {
        if (at !== undefined)
          throw new UsageError('--original takes no --at: it is about the wort as pitched.')
        const answer = await client.post<{ gravity: number }>(pathOf(batch, '/original-gravity'), {
          gravity: value,
        })
        return `${formatGravity(answer.gravity, units)} is the original gravity of this batch now.`
      }
      const answer = await client.post<{ instrument: string; gravity: number }>(pathOf(batch, '/gravity'), {
        gravity: value,
        ...(at === undefined ? {} : { at: momentText(at, batch) }),
      })
      return `${formatGravity(answer.gravity, units)} is kept as a reading of ${answer.instrument}${isRefractometerText(value) ? `, corrected for the alcohol from ${value}; give or take 2 points` : ''}.`
    }),
}
