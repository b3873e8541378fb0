import type { Alarm, AlarmState } from '@attemper/core/alarms/alarms.ts'
import { ALARM_KINDS } from '@attemper/core/alarms/catalogue.ts'
import type { AlarmPlace } from './alarm-change.ts'
import type { Label, LabelledAlarm } from './alarm-scope.ts'

/** The store's document in which the alarms are kept. */
export const ALARM_DOCUMENT = 'alarms'

const VERSION = 1

export interface KeptScopes {
  readonly nextId: number
  readonly scopes: readonly { readonly place: AlarmPlace | null; readonly alarms: readonly LabelledAlarm[] }[]
}

const NOTHING: KeptScopes = { nextId: 1, scopes: [] }

export function printAlarms({ nextId, scopes }: KeptScopes): string {
  return JSON.stringify({ version: VERSION, nextId, scopes })
}

/** null: the text is not what this program writes. Alarms that it does not know (written by a later one) are left out. */
export function readAlarms(text: string | null): KeptScopes | null {
  if (text === null) return NOTHING
  const kept = parse(text)
  if (!isObject(kept) || kept.version !== VERSION || !isCount(kept.nextId) || !Array.isArray(kept.scopes)) {
    return null
  }
  const scopes = kept.scopes.filter(isObject).flatMap(({ place, alarms }) => {
    if (!Array.isArray(alarms) || !(place === null || isPlace(place))) return []
    return [{ place, alarms: alarms.filter(isLabelled).map(withPlainSubject) }]
  })
  return { nextId: kept.nextId, scopes }
}

/** An older version wrote the beginning of a sentence where the appliance belongs. */
const OLD_SUBJECTS: Readonly<Record<string, string>> = { 'The heater': 'heater', 'The cooler': 'cooler' }

function withPlainSubject(kept: LabelledAlarm): LabelledAlarm {
  const { code, subject } = kept.alarm
  const plain = code === 'appliance-unreachable' ? OLD_SUBJECTS[subject] : undefined
  return plain === undefined ? kept : { ...kept, alarm: { ...kept.alarm, subject: plain } }
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

type Loose = Readonly<Record<string, unknown>>

const isObject = (value: unknown): value is Loose =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
const isCount = (value: unknown): value is number => Number.isSafeInteger(value) && (value as number) > 0
const isNumberOrNull = (value: unknown) => value === null || typeof value === 'number'

function isPlace(value: unknown): value is AlarmPlace {
  return isObject(value) && [value.batch, value.vessel, value.name].every(each => typeof each === 'string')
}

function isLabelled(value: unknown): value is LabelledAlarm {
  return isObject(value) && isAlarm(value.alarm) && isLabel(value.label)
}

function isLabel(value: unknown): value is Label {
  if (!isObject(value)) return false
  const { id, seenBy, seenAt_s } = value
  return isCount(id) && (seenBy === null || typeof seenBy === 'string') && isNumberOrNull(seenAt_s)
}

const CODES = new Set<unknown>(ALARM_KINDS.map(({ code }) => code))
const STATES = new Set<unknown>([
  'active',
  'acknowledged',
  'returned',
  'shelved',
] satisfies readonly AlarmState[])

function isAlarm(value: unknown): value is Alarm {
  if (!isObject(value)) return false
  const { code, subject, detail, state, since_s, awaySince_s, raisedAt_s, shelvedUntil_s } = value
  return (
    CODES.has(code) &&
    typeof subject === 'string' &&
    (detail === undefined || typeof detail === 'string') &&
    STATES.has(state) &&
    typeof since_s === 'number' &&
    [awaySince_s, raisedAt_s, shelvedUntil_s].every(isNumberOrNull) &&
    (state !== 'shelved' || shelvedUntil_s !== null)
  )
}
