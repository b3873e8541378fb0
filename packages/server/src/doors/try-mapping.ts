import type { Finding } from '@attemper/core/finding.ts'
import type { VesselRecord } from '../store/store.ts'
import { decode } from './decode/decode.ts'
import type { Mapping } from './decode/mapping.ts'
import { readDoorSettings } from './door-settings.ts'
import { nameBook } from './name-book.ts'
import type { Refusal, Report } from './report.ts'
import { sameName } from './slug.ts'

export interface TriedMapping {
  /** What is wrong with the mapping itself, with its place. */
  readonly findings: readonly Finding[]
  readonly readings: readonly Report[]
  readonly refused: readonly Refusal[]
}

export interface Trial {
  /** One mapping, as it stands below its name in the door settings; null: none, so it has to be SenML. */
  readonly mapping: string | null
  readonly contentType: string | null
  readonly text: string
  /** A vessel of the cellar, or one that is yet to be: then any name of an instrument will do. */
  readonly vessel: string
}

const NAME = 'tried'
const INDENT = '    '
const BEFORE = ['mappings:', `  ${NAME}:`]

/** What a mapping would make of a message. Nothing is stored. */
export function tryMapping(
  { mapping, contentType, text, vessel }: Trial,
  vessels: readonly VesselRecord[],
  now_ms: number,
): TriedMapping {
  const read = mapping === null ? { mapping: null, findings: [] } : readMapping(mapping)
  if (mapping !== null && read.mapping === null) return { findings: read.findings, readings: [], refused: [] }
  const isKnown = vessels.some(({ name }) => sameName(name, vessel))
  const { reports, refused } = decode(contentType ?? undefined, Buffer.from(text), {
    vessel,
    now_ms,
    ...(read.mapping === null ? {} : { mapping: read.mapping }),
    ...(isKnown ? { names: nameBook(() => vessels) } : {}),
  })
  return { findings: read.findings, readings: reports, refused }
}

/** It is read by the reader of the whole settings, so that both say the same; the places are those of the part. */
function readMapping(text: string): {
  readonly mapping: Mapping | null
  readonly findings: readonly Finding[]
} {
  const lines = text.split('\n').map(line => `${INDENT}${line}`)
  const { settings, findings } = readDoorSettings([...BEFORE, ...lines].join('\n'), 'mapping')
  return {
    mapping: settings?.mappings[NAME]?.mapping ?? null,
    findings: findings.map(each => ({
      ...each,
      line: Math.max(1, each.line - BEFORE.length),
      column: Math.max(1, each.line > BEFORE.length ? each.column - INDENT.length : 1),
    })),
  }
}
