import type { Finding } from '@attemper/core/finding.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { ChannelStatus, ChannelTrial } from '@attemper/server/notify/notifier.ts'
import { readSettings } from '@attemper/server/notify/read-settings.ts'
import { channelsText, enumerated, tryCommand } from '../cellar/channels-text.ts'
import { CELLAR_OPTION, type CellarClient, CellarRefused, cellarFor } from '../cellar-client.ts'
import { type Command, type Given, JSON_OPTION } from '../command.ts'
import { EXIT, type ExitStatus, RefusedError, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'
import { publishedFinding } from '../published-finding.ts'
import { findingsText, hasErrors } from '../sources.ts'
import { readText } from '../text-file.ts'

/** How people are told of alarms. */
export const CHANNELS: Command = {
  name: 'channels',
  summary:
    'Lists the channels by which people are told of alarms, and whether they work; tries one; sets or shows who is told.',
  arguments: [
    { name: 'WHAT', about: 'list (usual), try, set or show', optional: true },
    {
      name: 'WHICH',
      about: 'try: name of the channel; set: the file that says who is told, and how',
      optional: true,
    },
  ],
  options: [CELLAR_OPTION, JSON_OPTION],
  needs: [],
  examples: [
    'attemper channels',
    'attemper channels set notify.yaml',
    'attemper channels try mail',
    'attemper channels show > notify.yaml',
  ],
  statuses: {
    good: 'listed, shown or set; try: the other side took the message',
    bad: 'set: the file has errors; try: the message was not taken; or the cellar refused',
  },
  async run(given, io) {
    const [what = 'list', which] = given.arguments
    const client = cellarFor(given, io)
    switch (what) {
      case 'list':
        return listChannels(client, given, io)
      case 'show':
        return showSettings(client, given, io)
      case 'try':
        return tryChannel(client, which, given, io)
      case 'set':
        if (which === undefined) {
          throw new UsageError('WHICH is missing: the file. Usage: attemper channels set FILE')
        }
        return setSettings(client, which, given, io)
      default:
        throw new UsageError(`WHAT should be list, try, set or show, but is "${what}".`)
    }
  },
}

/** Data of docs/reference/output/channels.schema.json, or a text for a person. */
function say(given: Given, io: Io, data: object, text: string): void {
  io.out(given.switch('json') ? `${JSON.stringify(data, null, 2)}\n` : text)
}

async function listChannels(client: CellarClient, given: Given, io: Io): Promise<ExitStatus> {
  const [channels, { now_ms }] = await Promise.all([
    client.get<readonly ChannelStatus[]>('/notify'),
    client.get<{ now_ms: number }>('/health'),
  ])
  say(given, io, { channels: channels.map(published) }, `${channelsText(channels, now_ms, io.columns)}\n`)
  return EXIT.good
}

async function showSettings(client: CellarClient, given: Given, io: Io): Promise<ExitStatus> {
  const { text } = await client.get<{ text: string }>('/notify/settings')
  if (text.trim() === '' && !given.switch('json')) io.err('No settings are kept: nobody is told of alarms.\n')
  say(given, io, { text }, text === '' || text.endsWith('\n') ? text : `${text}\n`)
  return EXIT.good
}

async function tryChannel(
  client: CellarClient,
  channel: string | undefined,
  given: Given,
  io: Io,
): Promise<ExitStatus> {
  const names = (await client.get<readonly ChannelStatus[]>('/notify')).map(({ name }) => name)
  const there =
    names.length === 0
      ? 'No channel is set up yet: attemper channels set FILE.'
      : `There ${names.length === 1 ? 'is' : 'are'}: ${names.join(', ')}.`
  if (channel === undefined) throw new UsageError(`WHICH is missing: the name of a channel. ${there}`)
  if (!names.includes(channel)) throw new RefusedError(`There is no channel “${channel}”. ${there}`)
  const path = `/notify/${encodeURIComponent(channel)}/try`
  const { ok, sentence } = await client.post<ChannelTrial>(path)
  const advice = ok ? ' Whether it also reached somebody is for you to see.' : ''
  say(given, io, { channel, ok, sentence }, `${paragraph(`${sentence}${advice}`, io.columns)}\n`)
  return ok ? EXIT.good : EXIT.bad
}

async function setSettings(client: CellarClient, file: string, given: Given, io: Io): Promise<ExitStatus> {
  const text = readText(file, io.folder)
  const texts = new Map([[file, text]])
  const local = readSettings(text, file)
  const findings = hasErrors(local.findings)
    ? local.findings
    : (await putSettings(client, text)).map(each => ({ ...each, file }))
  if (findings.length > 0 && !given.switch('json')) io.err(findingsText(findings, texts, io, OF_SETTINGS))
  const isSet = !hasErrors(findings)
  const names = (local.settings?.channels ?? []).map(({ name }) => name)
  say(
    given,
    io,
    { set: isSet, findings: findings.map(publishedFinding) },
    isSet ? `${nowSo(names, io.columns)}\n` : '',
  )
  return isSet ? EXIT.good : EXIT.bad
}

const OF_SETTINGS = { withErrors: 'nothing was changed', without: 'nothing that keeps them from being used' }

/** What the cellar says about the text; with errors it has changed nothing. */
async function putSettings(client: CellarClient, text: string): Promise<readonly Finding[]> {
  try {
    return (await client.put<{ findings: readonly Finding[] }>('/notify/settings', { text })).findings
  } catch (error) {
    if (!(error instanceof CellarRefused) || error.findings.length === 0) throw error
    return error.findings
  }
}

function nowSo(names: readonly string[], width: number): string {
  const [first] = names
  if (first === undefined) return 'This holds from now on: nobody is told of alarms.'
  const said = `This holds from now on, for ${enumerated(names)}.`
  const each = names.length === 1 ? 'it' : 'each of them'
  return `${paragraph(said, width)}\n\nNow try ${each}: ${tryCommand(first)}`
}

function published({ name, kind, where, told, waiting, problem, took_ms, failed_ms }: ChannelStatus) {
  return { name, kind, where, told, waiting, problem, took_ms, failed_ms }
}
