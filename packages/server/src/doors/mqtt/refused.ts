import type { Clock } from '../../live/clock.ts'
import { Bucket } from '../flood.ts'
import type { Refusal, RefusalCode } from '../report.ts'
import { refusedTopic } from './topics.ts'

const MOST_PER_SECOND = 1
const BURST = 20
const MOST_VESSELS = 1000
/** In one message; the others are counted. */
const MOST_TOLD = 20

/**
 * MQTT 3.1.1 has no answer to a message, so what was refused is told on a topic of its own. A device that is wrong is
 * usually wrong each time: what is more than one a second is only counted, and told as a number with the next message.
 */
export class RefusedTopic {
  readonly counts = new Map<RefusalCode, number>()
  readonly #clock: Clock
  readonly #publish: (topic: string, payload: string) => void
  readonly #byTopic = new Map<string, { readonly bucket: Bucket; untold: number }>()

  constructor(clock: Clock, publish: (topic: string, payload: string) => void) {
    this.#clock = clock
    this.#publish = publish
  }

  /** `topic`: where the message came in. */
  tell(vessel: string | null, topic: string, refused: readonly Refusal[], by?: string): void {
    if (refused.length === 0) return
    for (const { code } of refused) this.counts.set(code, (this.counts.get(code) ?? 0) + 1)
    const to = refusedTopic(vessel)
    if (this.#byTopic.size > MOST_VESSELS) this.#byTopic.clear()
    const known = this.#byTopic.get(to) ?? {
      bucket: new Bucket(this.#clock, MOST_PER_SECOND, BURST),
      untold: 0,
    }
    this.#byTopic.set(to, known)
    if (!known.bucket.take()) {
      known.untold += refused.length
      return
    }
    const told = refused.slice(0, MOST_TOLD)
    const untold = known.untold + refused.length - told.length
    known.untold = 0
    this.#publish(
      to,
      JSON.stringify({
        topic: topic.slice(0, 200),
        ...(by === undefined ? {} : { client: by.slice(0, 100) }),
        refused: told,
        ...(untold > 0 ? { untold } : {}),
      }),
    )
  }
}
