/**
 * How the JSON of a device is read, as it stands in the text of a vessel's doors. What was there before stays as it is
 * written, comments included.
 */
import { setValue } from '@attemper/core/source-text/edit-yaml.ts'

export interface NewMapping {
  /** null: it comes by HTTP, and names the mapping itself. */
  readonly topic: string | null
  readonly readings: readonly {
    readonly at: string
    readonly instrument: string
    readonly quantity: string
    /** null: the quantity's own. */
    readonly unit: string | null
  }[]
  /** null: the readings are of now. */
  readonly time: { readonly at: string; readonly format: string } | null
}

/** Line by line, without indentation. */
export function mappingLines({ topic, readings, time }: NewMapping): readonly string[] {
  return [
    ...(topic === null ? [] : [`topic: ${yamlWord(topic)}`]),
    'readings:',
    ...readings.map(reading => `  - ${readingText(reading)}`),
    ...(time === null ? [] : [`time: ${timeText(time)}`]),
  ]
}

/** The doors with a mapping more; null: their text is written in a way that has to be changed by hand. */
export function withMapping(doors: string, name: string, mapping: NewMapping): string | null {
  const { topic, readings, time } = mapping
  const inline = `{ ${[
    ...(topic === null ? [] : [`topic: ${yamlWord(topic)}`]),
    `readings: [${readings.map(readingText).join(', ')}]`,
    ...(time === null ? [] : [`time: ${timeText(time)}`]),
  ].join(', ')} }`
  return withEntry(doors, 'mappings', name, inline, mappingLines(mapping))
}

/** The doors with an instrument more that is read on this machine. */
export function withListened(doors: string, instrument: string, inline: string): string | null {
  return withEntry(doors, 'listen', instrument, inline, null)
}

function withEntry(
  doors: string,
  part: string,
  name: string,
  inline: string,
  lines: readonly string[] | null,
): string | null {
  const key = yamlWord(name)
  const isEmpty = /^(?:\s*(?:#.*)?(?:\n|$))*$/.test(doors)
  if (!isEmpty) {
    const beside = setValue(doors, [part, name], inline, [])
    if (beside !== null) return beside
    if (new RegExp(`^${part}\\s*:`, 'm').test(doors)) return null
    // Written in one line, in braces.
    if (/^(?:\s|#.*\n)*\{/.test(doors)) return setValue(doors, [part], `{ ${key}: ${inline} }`, [])
  }
  const entry = lines === null ? [`  ${key}: ${inline}`] : [`  ${key}:`, ...lines.map(line => `    ${line}`)]
  const before = doors === '' || doors.endsWith('\n') ? doors : `${doors}\n`
  return `${before}${part}:\n${entry.join('\n')}\n`
}

function readingText({ at, instrument, quantity, unit }: NewMapping['readings'][number]): string {
  const parts = [
    `at: ${yamlWord(at)}`,
    `instrument: ${yamlWord(instrument)}`,
    `quantity: ${yamlWord(quantity)}`,
    ...(unit === null ? [] : [`unit: ${yamlWord(unit)}`]),
  ]
  return `{ ${parts.join(', ')} }`
}

function timeText({ at, format }: NonNullable<NewMapping['time']>): string {
  return `{ at: ${yamlWord(at)}, format: ${yamlWord(format)} }`
}

/** In quotation marks only where it has to be; a pointer or a topic may begin with a slash. */
function yamlWord(text: string): string {
  return /^[\p{L}\p{N}/°_][\p{L}\p{N} ./~°_-]*$/u.test(text) && !text.endsWith(' ')
    ? text
    : JSON.stringify(text)
}
