import { widthOf } from '@attemper/core/report/text/width.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import { formatDuration } from '@attemper/core/units/format.ts'
import type { ChannelStatus } from '@attemper/server/notify/notifier.ts'

const WIDEST_NAME = 20

/** The ways in which somebody is told of alarms: in one sentence whether they work, then each of them. */
export function channelsText(channels: readonly ChannelStatus[], now_ms: number, width: number): string {
  const column = Math.min(WIDEST_NAME, Math.max(0, ...channels.map(({ name }) => widthOf(name)))) + 2
  const each = channels.map(channel => {
    const { name } = channel
    const first = widthOf(name) < column ? name + ' '.repeat(column - widthOf(name)) : `${name}  `
    const told = `${whereTo(channel)}. ${standing(channel, now_ms)}`
    return `\n${paragraph(told, width, first, ' '.repeat(column))}`
  })
  const toTry = channels.find(
    channel => channel.told.length > 0 && (isFailing(channel) || isUntried(channel)),
  )
  const advice = toTry === undefined ? [] : [`\nTo try one: ${tryCommand(toTry.name)}`]
  return [paragraph(overview(channels), width), ...each, ...advice].join('\n')
}

/** "Kim", "Kim and the house", "Kim, Sam and the house" */
export function enumerated(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}

function overview(channels: readonly ChannelStatus[]): string {
  if (channels.length === 0) {
    return (
      'Nobody is told of alarms: no channel is set up. Write down who is told, and how ' +
      '(docs/reference/notify.md), and hand it over with "attemper channels set FILE".'
    )
  }
  if (channels.every(({ told }) => told.length === 0)) {
    return 'Nobody is told of alarms: nobody stands under "tell" in the settings.'
  }
  const failing = channels.filter(isFailing).map(({ name }) => name)
  if (failing.length > 0) {
    return `${enumerated(failing)} ${failing.length === 1 ? 'fails' : 'fail'}: alarms may not arrive.`
  }
  const untried = channels.filter(isUntried).map(({ name }) => name)
  if (untried.length > 0) {
    return `Whether ${enumerated(untried)} ${untried.length === 1 ? 'works' : 'work'} is not known yet.`
  }
  return channels.length === 1 ? 'The channel took its last message.' : 'Each channel took its last message.'
}

function isFailing({ problem, took_ms, failed_ms }: ChannelStatus): boolean {
  return problem !== null || (failed_ms !== null && failed_ms > (took_ms ?? Number.NEGATIVE_INFINITY))
}

function isUntried({ took_ms, failed_ms }: ChannelStatus): boolean {
  return took_ms === null && failed_ms === null
}

function whereTo({ kind, where, told }: ChannelStatus): string {
  const whom = told.length === 0 ? 'but nobody is told by it' : `for ${enumerated(told)}`
  switch (kind) {
    case 'e-mail':
      return `E-mail through ${where}, ${whom}`
    case 'webhook':
      return `Posts to ${where}, ${whom}`
    case 'mqtt':
      return `MQTT, ${where}, ${whom}`
    case 'push':
      return `Web push to ${where}, ${whom}`
  }
}

function standing(channel: ChannelStatus, now_ms: number): string {
  const { waiting, problem, took_ms, failed_ms } = channel
  const waits = waiting === 0 ? [] : [waiting === 1 ? 'One message waits.' : `${waiting} messages wait.`]
  const ago = (at_ms: number) => `${formatDuration(Math.max(0, (now_ms - at_ms) / 1000))} ago`
  const took = took_ms === null ? 'None has been taken so far.' : `The last one was taken ${ago(took_ms)}.`
  if (problem !== null) return [`It fails: ${problem}`, took, ...waits].join(' ')
  if (isFailing(channel)) return [`A message was not taken ${ago(failed_ms!)}.`, took, ...waits].join(' ')
  if (took_ms !== null) return [`It took a message ${ago(took_ms)}.`, ...waits].join(' ')
  return ['Not used yet.', ...waits].join(' ')
}

/** As it is typed in a shell. */
export function tryCommand(name: string): string {
  const quoted = /^[\w.-]+$/.test(name) ? name : `'${name.replaceAll("'", "'\\''")}'`
  return `attemper channels try ${quoted}`
}
