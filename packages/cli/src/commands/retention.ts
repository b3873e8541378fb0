import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { parseQuantity } from '@attemper/core/units/parse.ts'
import type { Retention, RetentionRequest } from '@attemper/server/http/published.ts'
import { CELLAR_OPTION, cellarFor } from '../cellar-client.ts'
import { type Command, JSON_OPTION } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'

const FOR_EVER = 'for ever'
const DAY_S = 86_400

/** Shows how long readings outside of batches are kept, or changes it. */
export const RETENTION: Command = {
  name: 'retention',
  summary:
    'Shows how long readings outside of batches are kept, or changes it. A batch keeps its own for ever.',
  arguments: [],
  options: [
    {
      name: 'full-detail',
      value: 'TIME',
      about: 'how long every single reading is kept, such as "730 d" (at least 30 d), or "for ever"',
    },
    {
      name: 'by-the-minute',
      value: 'TIME',
      about: 'how long a value for each minute is kept, not shorter; one for each hour stays for ever',
    },
    CELLAR_OPTION,
    JSON_OPTION,
  ],
  needs: [],
  examples: [
    'attemper retention',
    'attemper retention --full-detail "730 d" --by-the-minute "for ever"',
    'attemper retention --full-detail "for ever" --by-the-minute "for ever"',
  ],
  statuses: { good: 'shown, or changed', bad: 'the cellar refused' },
  async run(given, io) {
    const client = cellarFor(given, io)
    const [fullDetail, byTheMinute] = [given.text('full-detail'), given.text('by-the-minute')]
    const before = await client.get<Retention>('/retention')
    const wished: RetentionRequest = {
      fullDetail_d: fullDetail === undefined ? before.fullDetail_d : daysOf('full-detail', fullDetail),
      byTheMinute_d: byTheMinute === undefined ? before.byTheMinute_d : daysOf('by-the-minute', byTheMinute),
    }
    const isWished = fullDetail !== undefined || byTheMinute !== undefined
    const after = isWished ? await client.put<Retention>('/retention', wished) : before
    io.out(
      given.switch('json')
        ? `${JSON.stringify(after, null, 2)}\n`
        : `${paragraph(after.sentence, io.columns)}\n`,
    )
    return EXIT.good
  },
}

function daysOf(option: string, text: string): number | null {
  if (text.trim().toLowerCase() === FOR_EVER) return null
  const read = parseQuantity(text, 'duration')
  if (!read.ok) throw new UsageError(`--${option}: ${read.problem.message} ${read.problem.cure}`)
  return Math.round(read.value / DAY_S)
}
