/** Writes calendars as in RFC 5545: lines of at most 75 octets, ended by CR and LF. */
export const ICALENDAR_TYPE = 'text/calendar; charset=utf-8'

export interface CalendarEvent {
  /** The same for the same event each time the calendar is fetched. */
  readonly uid: string
  readonly from_ms: number
  readonly duration_s: number
  readonly summary: string
  readonly description: string
}

const MAX_OCTETS = 75

export function printCalendar(name: string, events: readonly CalendarEvent[], now_ms: number): string {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Attemper//Expected transitions//EN',
    // RFC 7986; programs that do not know these pass them over.
    `NAME:${escapeText(name)}`,
    'REFRESH-INTERVAL;VALUE=DURATION:PT1H',
    ...events.flatMap(event => printEvent(event, now_ms)),
    'END:VCALENDAR',
  ]
  return lines.map(line => `${fold(line)}\r\n`).join('')
}

function printEvent(event: CalendarEvent, now_ms: number): string[] {
  return [
    'BEGIN:VEVENT',
    `UID:${event.uid}`,
    `DTSTAMP:${printTime(now_ms)}`,
    `DTSTART:${printTime(event.from_ms)}`,
    `DURATION:${printDuration(event.duration_s)}`,
    `SUMMARY:${escapeText(event.summary)}`,
    ...(event.description === '' ? [] : [`DESCRIPTION:${escapeText(event.description)}`]),
    // Nobody is busy because a beer is.
    'TRANSP:TRANSPARENT',
    'END:VEVENT',
  ]
}

/** TEXT of section 3.3.11. Control characters are not allowed in it. */
export function escapeText(text: string): string {
  return text
    .replaceAll(/\r\n?/g, '\n')
    .replaceAll(/[\\;,]/g, found => `\\${found}`)
    .replaceAll('\n', '\\n')
    .replaceAll(/\p{Cc}/gu, ' ')
}

/** Section 3.1: continued after CR LF and a space. No character is cut in two. */
export function fold(line: string): string {
  const parts: string[] = []
  let part = ''
  let octets = 0
  for (const character of line) {
    const more = Buffer.byteLength(character)
    if (octets + more > MAX_OCTETS) {
      parts.push(part)
      part = ''
      // The space counts as well.
      octets = 1
    }
    part += character
    octets += more
  }
  return [...parts, part].join('\r\n ')
}

/** Section 3.3.6, from whole seconds. */
export function printDuration(duration_s: number): string {
  const whole = Math.abs(Math.round(duration_s))
  const days = Math.floor(whole / 86_400)
  const time = [
    [Math.floor((whole % 86_400) / 3600), 'H'],
    [Math.floor((whole % 3600) / 60), 'M'],
    [whole % 60, 'S'],
  ] as const
  // Within the time no unit may be left out between two others.
  const first = time.findIndex(([n]) => n > 0)
  const last = time.findLastIndex(([n]) => n > 0)
  const written = time.slice(Math.max(0, first), last + 1).map(([n, unit]) => `${n}${unit}`)
  const sign = duration_s < 0 && whole > 0 ? '-' : ''
  if (first < 0) return days > 0 ? `${sign}P${days}D` : 'PT0S'
  return `${sign}P${days > 0 ? `${days}D` : ''}T${written.join('')}`
}

/** Section 3.3.5, form 2 (UTC). */
function printTime(at_ms: number): string {
  return new Date(at_ms).toISOString().replaceAll(/[-:]|\.\d+/g, '')
}
