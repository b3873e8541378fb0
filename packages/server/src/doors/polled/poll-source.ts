import type { Clock } from '../../live/clock.ts'
import type { Timers } from '../../live/timers.ts'
import type { Stream } from '../../store/store.ts'
import { inOwnUnit } from '../decode/own-unit.ts'
import type { Intake, Report } from '../report.ts'
import type { Sounding, Source } from './source.ts'

export interface PollParts {
  readonly intake: Intake
  readonly clock: Clock
  readonly timers: Timers
  readonly log: (line: string) => void
}

/** Of the same instrument: a loose wire must not fill the log. */
const SAID_AGAIN_AFTER_MS = 600_000

/**
 * Asks a source for its reading every so often, until the returned function is called. What is wrong with it is logged
 * in a sentence; the readings it lacks are missed by whoever needs them.
 */
export function pollSource(source: Source, stream: Stream, every_s: number, parts: PollParts): () => void {
  const { intake, clock, timers, log } = parts
  const called = `${stream.instrument} of ${stream.vessel}`
  let isOver = false
  let callOff: () => void = () => undefined
  let isBad = false
  let saidAt_ms = Number.NEGATIVE_INFINITY

  const tell = (problem: string | null) => {
    if (problem === null) {
      if (isBad) log(`${called} can be read again.`)
      isBad = false
    } else if (clock.now_ms() >= saidAt_ms + SAID_AGAIN_AFTER_MS) {
      log(`${called} can not be read: ${problem}`)
      isBad = true
      saidAt_ms = clock.now_ms()
    }
  }
  const round = async () => {
    const due_ms = clock.now_ms()
    const problem = await readOnce(source, stream, intake, clock).catch(String)
    if (isOver) return
    tell(problem)
    const now_ms = clock.now_ms()
    // A clock that was put back meanwhile is not waited for.
    const next_ms = Math.min(Math.max(due_ms + every_s * 1000, now_ms), now_ms + every_s * 1000)
    callOff = timers.set(next_ms, () => void round())
  }
  void round()
  return () => {
    isOver = true
    callOff()
  }
}

/** Says what is wrong; null: nothing. */
async function readOnce(
  source: Source,
  stream: Stream,
  intake: Intake,
  clock: Clock,
): Promise<string | null> {
  const sounding = await source.sound()
  if (sounding.value === null) return sounding.problem
  const made = reportOf(sounding, stream, clock.now_ms())
  if (typeof made === 'string') return made
  try {
    const { refused } = await intake.accept([made], source.door)
    return sounding.problem ?? refused[0]?.message ?? null
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  }
}

function reportOf(
  { value, unit, problem }: Sounding & { value: number },
  stream: Stream,
  at_ms: number,
): Report | string {
  const converted = inOwnUnit(value, unit, stream.quantity)
  if (!converted.ok) return problem ?? converted.message
  return { ...stream, value: converted.value, at_ms, status: problem === null ? 'good' : 'bad' }
}
