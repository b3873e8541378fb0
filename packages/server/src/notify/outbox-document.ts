import type { Message } from './message.ts'
import type { Parcel } from './outbox.ts'

/** The store's document in which messages wait. */
export const OUTBOX_DOCUMENT = 'notify.outbox'

const VERSION = 1

export interface OutboxContents {
  readonly nextId: number
  readonly parcels: readonly Parcel[]
  /** By channel that fails: why. */
  readonly troubles: Readonly<Record<string, string>>
  /** By channel that has been used. */
  readonly tried: Readonly<Record<string, Tried>>
}

/** When the other side of a channel last took a message, and when it last did not; null: never. */
export interface Tried {
  readonly took_ms: number | null
  readonly failed_ms: number | null
}

const EMPTY: OutboxContents = { nextId: 1, parcels: [], troubles: {}, tried: {} }

export function printOutbox(contents: OutboxContents): string {
  return JSON.stringify({ version: VERSION, ...contents })
}

/** What is not readable is left out: a message that is lost here stands in the list of alarms. */
export function readOutbox(text: string | null): OutboxContents {
  const kept = text === null ? null : parse(text)
  if (!isObject(kept) || kept.version !== VERSION || !isCount(kept.nextId) || !Array.isArray(kept.parcels)) {
    return EMPTY
  }
  const troubles = isObject(kept.troubles) ? kept.troubles : {}
  const tried = isObject(kept.tried) ? kept.tried : {}
  return {
    nextId: kept.nextId,
    parcels: kept.parcels.filter(isParcel),
    troubles: Object.fromEntries(
      Object.entries(troubles).filter((entry): entry is [string, string] => typeof entry[1] === 'string'),
    ),
    tried: Object.fromEntries(
      Object.entries(tried).filter((entry): entry is [string, Tried] => isTried(entry[1])),
    ),
  }
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
const isCount = (value: unknown): value is number => Number.isSafeInteger(value) && (value as number) >= 0
const isTextOrNull = (value: unknown) => value === null || typeof value === 'string'
const isTime = (value: unknown) => typeof value === 'number' && Math.abs(value) <= 8.64e15

function isTried(value: unknown): value is Tried {
  return isObject(value) && [value.took_ms, value.failed_ms].every(each => each === null || isTime(each))
}

function isParcel(value: unknown): value is Parcel {
  if (!isObject(value)) return false
  const { id, channel, to, made_ms, due_ms, attempts, message } = value
  return (
    isCount(id) &&
    typeof channel === 'string' &&
    isTextOrNull(to) &&
    isTime(made_ms) &&
    isTime(due_ms) &&
    isCount(attempts) &&
    isMessage(message)
  )
}

function isMessage(value: unknown): value is Message {
  if (!isObject(value)) return false
  const { kind, priority, at_ms, subject, text, alarm, vessel, batch, link } = value
  return (
    ['raised', 'over'].includes(kind as string) &&
    ['low', 'medium', 'high'].includes(priority as string) &&
    isTime(at_ms) &&
    typeof subject === 'string' &&
    typeof text === 'string' &&
    (alarm === null || (isObject(alarm) && isCount(alarm.id))) &&
    [vessel, batch, link].every(isTextOrNull)
  )
}
