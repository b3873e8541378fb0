import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { parseDuration } from '@attemper/core/units/duration.ts'
import { formatDuration } from '@attemper/core/units/format.ts'
import type { KeptAlarm } from '@attemper/server/alarms/alarm-change.ts'
import { CELLAR_OPTION, type CellarClient, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'

const USUAL_SHELF = '8 h'

/** What asks for somebody, and what somebody does about it. */
export const ALARMS: Command = {
  name: 'alarms',
  summary:
    'Lists the alarms of the cellar, the most urgent first; acknowledges one, or shelves it for a while.',
  arguments: [
    { name: 'WHAT', about: 'list (usual), ack, shelve or unshelve', optional: true },
    { name: 'ALARM', about: 'its number, for all but list', optional: true },
  ],
  options: [
    { name: 'for', value: 'TIME', about: `shelve: how long, such as "90 min" (usually ${USUAL_SHELF})` },
    CELLAR_OPTION,
    JSON_OPTION,
  ],
  needs: [],
  examples: ['attemper alarms', 'attemper alarms ack 3', 'attemper alarms shelve 3 --for "2 h"'],
  statuses: { good: 'listed, or done', bad: 'the cellar refused' },
  async run(given, io) {
    const [what = 'list', number] = given.arguments
    const client = cellarFor(given, io)
    if (what !== 'list') await act(client, what, number, given)
    const [alarms, { now_ms }] = await Promise.all([
      client.get<readonly KeptAlarm[]>('/alarms'),
      client.get<{ now_ms: number }>('/health'),
    ])
    if (given.switch('json')) io.out(`${JSON.stringify({ alarms: alarms.map(published) }, null, 2)}\n`)
    else io.out(`${alarmsText(alarms, now_ms / 1000, io.columns)}\n`)
    return EXIT.good
  },
}

async function act(
  client: CellarClient,
  what: string,
  number: string | undefined,
  given: Given,
): Promise<void> {
  if (what !== 'ack' && what !== 'shelve' && what !== 'unshelve') {
    throw new UsageError(`WHAT should be list, ack, shelve or unshelve, but is "${what}".`)
  }
  if (number === undefined || !/^\d+$/.test(number)) {
    throw new UsageError(`ALARM should be the number of an alarm: attemper alarms ${what} 3.`)
  }
  const path = `/alarms/${number}`
  if (what === 'ack') await client.post(`${path}/acknowledge`)
  else if (what === 'unshelve') await client.post(`${path}/unshelve`)
  else {
    const shelf = parseDuration(given.text('for') ?? USUAL_SHELF)
    if (!shelf.ok) throw new UsageError(`--for: ${shelf.problem.message} ${shelf.problem.cure}`)
    // On the cellar's clock, which runs faster in a demonstration.
    const { now_ms } = await client.get<{ now_ms: number }>('/health')
    await client.post(`${path}/shelve`, { until: String(Math.round(now_ms + shelf.value * 1000)) })
  }
}

/** The published shape, docs/reference/output/alarms.schema.json. */
function published({ id, code, subject, state, priority, sentence, instruction, place, ...rest }: KeptAlarm) {
  const { raisedAt_s, shelvedUntil_s, seenBy } = rest
  return {
    id,
    code,
    subject,
    state,
    priority,
    sentence,
    instruction,
    place,
    raisedAt_s,
    shelvedUntil_s,
    seenBy,
  }
}

function alarmsText(alarms: readonly KeptAlarm[], now_s: number, width: number): string {
  if (alarms.length === 0) return 'No alarm.'
  const loud = alarms.filter(({ state }) => state === 'active').length
  const first =
    loud === 0
      ? 'No alarm waits for you.'
      : `${loud === 1 ? 'One alarm waits' : `${loud} alarms wait`} for you.`
  return [first, ...alarms.map(alarm => `\n${alarmText(alarm, now_s, width)}`)].join('\n')
}

function alarmText(alarm: KeptAlarm, now_s: number, width: number): string {
  const { id, priority, place, sentence, instruction } = alarm
  const number = `${id}  `
  const hanging = ' '.repeat(number.length)
  const where = place === null ? 'The cellar' : `${place.name} in ${place.vessel}`
  return [
    paragraph(`${where}: ${sentence} (${priority}; ${standing(alarm, now_s)})`, width, number, hanging),
    paragraph(instruction, width, hanging),
  ].join('\n')
}

function standing({ state, raisedAt_s, shelvedUntil_s, seenBy }: KeptAlarm, now_s: number): string {
  const since = `since ${formatDuration(Math.max(0, now_s - (raisedAt_s ?? now_s)))}`
  switch (state) {
    case 'acknowledged':
      return `${since}, seen by ${seenBy ?? 'somebody'}`
    case 'returned':
      return 'over, but nobody has seen it'
    case 'shelved':
      return `shelved for ${formatDuration(Math.max(0, (shelvedUntil_s ?? now_s) - now_s))} more`
    default:
      return since
  }
}
