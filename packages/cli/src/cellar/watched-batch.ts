import { isTold, journalLine } from '@attemper/core/batch/journal-line.ts'
import type { LogLine } from '@attemper/core/batch/log-line.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { BatchView } from '@attemper/server/live/cellar.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import type { CellarClient } from '../cellar-client.ts'
import { pathOf } from './batch-action.ts'
import { sentenceOf } from './batch-sentence.ts'
import { readyTelling } from './batch-telling.ts'
import { readLog } from './read-log.ts'

/** One batch as somebody watches it: its latest view, and the lines of its log so far. */
export class WatchedBatch {
  readonly #client: CellarClient
  readonly #units: DisplayUnits
  readonly #switches: boolean
  view: BatchView
  readonly lines: LogLine[] = []
  #last = 0

  private constructor(client: CellarClient, view: BatchView, units: DisplayUnits, switches: boolean) {
    this.#client = client
    this.#units = units
    this.#switches = switches
    this.view = view
  }

  static async of(
    client: CellarClient,
    batch: Pick<BatchRecord, 'id'>,
    units: DisplayUnits,
    switches: boolean,
  ): Promise<WatchedBatch> {
    const watched = new WatchedBatch(client, await client.get<BatchView>(pathOf(batch)), units, switches)
    await watched.catchUp()
    return watched
  }

  get sentence(): string {
    return sentenceOf(this.view, this.#units)
  }

  /** The same of what was heard last: whether all is still well, nobody here knows. */
  get sentenceThen(): string {
    return sentenceOf(this.view, this.#units, { asItWas: true })
  }

  /** Stopped or aborted: nothing will change any more. */
  get isOver(): boolean {
    return this.view.batch.ended_ms !== null
  }

  /** Fetches the part of the log that is not known yet. */
  async catchUp(): Promise<void> {
    const entries = await readLog(this.#client, this.view.batch, this.#last)
    const telling = readyTelling(this.view.batch, this.#units)
    for (const entry of entries) {
      this.#last = entry.number
      if (isTold(entry, this.#switches)) this.lines.push(journalLine(entry, telling))
    }
  }

  async refresh(): Promise<void> {
    this.view = await this.#client.get<BatchView>(pathOf(this.view.batch))
    await this.catchUp()
  }
}
