import { Draws } from './draws.ts'
import { EventQueue } from './event-queue.ts'
import { platformTurn, takeClocks } from './host.ts'
import { House } from './house.ts'
import type { Invariant } from './invariants.ts'
import { startMishaps } from './mishaps.ts'
import { People } from './people.ts'
import { type Broken, Story } from './story.ts'

const DAY_MS = 86_400_000
const MINUTE_MS = 60_000
const LOOK_MS = 45 * MINUTE_MS
const SENTENCE_MS = 6 * 60 * MINUTE_MS
/** Promises that follow each other in one step of the cellar: a message from its publisher to whoever waits for its answer. */
const TURNS = 24

export interface EpisodeResult {
  readonly seed: number
  /** Of all vessels together. */
  readonly vesselDays: number
  readonly faults: readonly (readonly [string, number])[]
  readonly judged: readonly (readonly [Invariant, number])[]
  readonly broken: readonly Broken[]
  readonly mark: string
}

export interface EpisodeOptions {
  readonly onLine?: (line: string) => void
  readonly days?: number
}

/** One story of one house, some weeks long: everything in it follows from its seed. */
export async function episode(seed: number, options: EpisodeOptions = {}): Promise<EpisodeResult> {
  const draws = new Draws(seed, 0)
  const begin_ms = Date.UTC(2026, 0, 1) + Math.floor(draws.between(0, 1200 * DAY_MS))
  const days = options.days ?? draws.pick([30, 60, 90])
  const queue = new EventQueue(begin_ms)
  const story = new Story(seed, begin_ms, () => queue.now_ms, options.onLine ?? null)
  const house = new House(seed, queue, story)
  const giveBack = takeClocks(() => house.host)
  const onRejection = (error: unknown) => house.ended(error)
  process.on('unhandledRejection', onRejection)
  try {
    house.open()
    new People(house)
    startMishaps(house)
    every(queue, LOOK_MS, () => house.judges.look())
    every(queue, SENTENCE_MS, () => house.judges.sentences())
    await run(house, begin_ms + days * DAY_MS)
    house.judges.kept()
    const { faults, judged, broken, mark } = story
    const vesselDays = days * house.spots.filter(({ isTwin }) => !isTwin).length
    return { seed, vesselDays, faults: [...faults], judged: [...judged], broken, mark }
  } finally {
    await platformTurn()
    process.off('unhandledRejection', onRejection)
    giveBack()
    house.close()
  }
}

function every(queue: EventQueue, span_ms: number, call: () => void): void {
  const again = () => {
    call()
    queue.after(span_ms, again)
  }
  queue.after(span_ms, again)
}

/** One event after the other; what the cellar waits for in one of them has come to its end before the next. */
async function run(house: House, end_ms: number): Promise<void> {
  const { queue } = house
  let turn_ms = queue.now_ms + DAY_MS
  for (let call = queue.next(end_ms); call !== null; call = queue.next(end_ms)) {
    call()
    if (!house.isStirred) continue
    house.isStirred = false
    for (let turn = 0; turn < TURNS; turn++) await null
    if (queue.now_ms < turn_ms) continue
    // The platform itself tells of rejections that nobody has heard only between its own turns.
    turn_ms = queue.now_ms + DAY_MS
    await platformTurn()
  }
}
