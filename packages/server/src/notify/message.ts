import type { Priority } from '@attemper/core/alarms/catalogue.ts'
import { sayAlarm } from '@attemper/core/alarms/say-alarm.ts'
import { formatClock, formatDate } from '@attemper/core/units/format.ts'
import type { AlarmChange, KeptAlarm } from '../alarms/alarm-change.ts'

/** What is told, in the words for a person and as data for a program. Plain data, so that it can be kept until it is sent. */
export interface Message {
  readonly kind: 'raised' | 'over' | 'test'
  readonly priority: Priority
  readonly at_ms: number
  /** One sentence, one line. */
  readonly subject: string
  /** Plain text. */
  readonly text: string
  readonly alarm: { readonly id: number; readonly code: string; readonly subject: string } | null
  readonly vessel: string | null
  readonly batch: string | null
  readonly link: string | null
}

export interface MessageContext {
  readonly link: string | null
  /** Local time = UTC + this. */
  readonly localOffset_s: number
}

export function composeMessage(
  change: AlarmChange,
  kind: 'raised' | 'over',
  { link, localOffset_s }: MessageContext,
): Message {
  const { alarm, at_s } = change
  const { place, priority, code, subject, detail = '' } = alarm
  const address = linkTo(alarm, link)
  const isAsked = code === 'question-open'
  const lines = [
    kind === 'over' ? `It is over: ${alarm.sentence}` : `Why: ${alarm.reason}`,
    ...(detail === '' || kind === 'over'
      ? []
      : [`${isAsked ? 'Question' : 'In detail'}: ${oneLine(detail)}`]),
    ...(kind === 'over' ? [] : [`What to do: ${alarm.instruction}`]),
    place === null
      ? 'Where: the cellar itself'
      : `Where: vessel ${oneLine(place.vessel)}, batch ${oneLine(place.name)} (${oneLine(place.batch)})`,
    `When: ${localTime(at_s, localOffset_s)}`,
    `Priority: ${priority}`,
    ...(address === null ? [] : [`More: ${address}`]),
  ]
  return {
    kind,
    priority,
    at_ms: at_s * 1000,
    subject: subjectOf(alarm, kind),
    text: `${lines.join('\n')}\n`,
    alarm: { id: alarm.id, code, subject },
    vessel: place?.vessel ?? null,
    batch: place?.batch ?? null,
    link: address,
  }
}

export function testMessage(now_ms: number, { link, localOffset_s }: MessageContext): Message {
  const when = localTime(now_ms / 1000, localOffset_s)
  return {
    kind: 'test',
    priority: 'low',
    at_ms: now_ms,
    subject: 'A test: alarms of the cellar arrive here.',
    text: `Somebody tried this channel, and nothing needs to be done.\nWhen: ${when}\n`,
    alarm: null,
    vessel: null,
    batch: null,
    link,
  }
}

const LONGEST_SUBJECT = 200

function subjectOf(alarm: KeptAlarm, kind: 'raised' | 'over'): string {
  const { place } = alarm
  const said =
    place === null
      ? alarm.sentence
      : `${oneLine(place.vessel)}, ${oneLine(place.name)}: ${ended(sayAlarm(alarm))}`
  const line = oneLine(kind === 'over' ? `Over: ${said}` : said)
  return line.length > LONGEST_SUBJECT ? `${line.slice(0, LONGEST_SUBJECT - 1)}…` : line
}

function ended(said: string): string {
  return /[.?!”]$/.test(said) ? said : `${said}.`
}

/** Names come from files and devices: none of them may begin a new line of a message, or of its headers. */
function oneLine(text: string): string {
  return text.replace(/[\p{Cc}\p{Zl}\p{Zp}\s]+/gu, ' ').trim()
}

function linkTo({ place }: KeptAlarm, link: string | null): string | null {
  if (link === null) return null
  return place === null ? `${link}/#/alarms` : `${link}/#/batch/${encodeURIComponent(place.batch)}`
}

function localTime(at_s: number, localOffset_s: number): string {
  const local_s = at_s + localOffset_s
  const minutes = Math.round(Math.abs(localOffset_s) / 60)
  const hours = `${Math.floor(minutes / 60)}${minutes % 60 === 0 ? '' : `:${String(minutes % 60).padStart(2, '0')}`}`
  const zone = minutes === 0 ? 'UTC' : `UTC${localOffset_s < 0 ? '−' : '+'}${hours}`
  return `${formatDate(local_s)} at ${formatClock(local_s)}, local time (${zone})`
}
