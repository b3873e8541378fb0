import { AlarmError } from '../alarms/alarm-error.ts'
import { CellarError } from '../live/cellar.ts'
import { StoreError } from '../store/store-error.ts'
import { ERRORS, type ErrorCode, HttpProblem } from './errors.ts'

/** What fastify itself refuses, by the status that it chose. */
const BY_STATUS: Readonly<Record<number, ErrorCode>> = {
  404: 'unknown-address',
  413: 'too-large',
  414: 'address-too-long',
  415: 'wrong-content-type',
  431: 'header-too-large',
}

/** The others are faults of whoever called the store. */
const OF_THE_DISK: ReadonlySet<string> = new Set(['disk-full', 'io', 'busy', 'corrupt', 'gone', 'closed'])

/** Turns whatever was thrown into what the asker is told. Faults of our own are never shown in detail. */
export function problemFrom(error: unknown): HttpProblem {
  if (error instanceof HttpProblem) return error
  if (error instanceof AlarmError) return new HttpProblem(error.code, error.message)
  if (error instanceof CellarError) {
    const { code, message, findings } = error
    return new HttpProblem(code, message, findings.length === 0 ? {} : { findings })
  }
  if (error instanceof StoreError && OF_THE_DISK.has(error.code)) {
    return new HttpProblem('storage', undefined, {
      cure: 'Look whether the disk is full or failing. Running batches go on being controlled.',
    })
  }
  const status = statusOf(error)
  if (status < 400 || status >= 500) return new HttpProblem('internal')
  const code = BY_STATUS[status] ?? 'wrong-request'
  return code === 'wrong-content-type'
    ? new HttpProblem(code, undefined, { cure: 'Send “Content-Type: application/json”.' })
    : new HttpProblem(code)
}

/** Faults that nobody has foreseen: worth a line in the log. */
export function isFault(error: unknown): boolean {
  return ERRORS[problemFrom(error).code].status === 500
}

function statusOf(error: unknown): number {
  const status = (error as { statusCode?: unknown } | null)?.statusCode
  return typeof status === 'number' ? status : 500
}
