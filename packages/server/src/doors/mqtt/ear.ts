import type { Clock } from '../../live/clock.ts'
import type { VesselRecord } from '../../store/store.ts'
import { decode } from '../decode/decode.ts'
import { type DecodeContext, type Decoded, refuseAll } from '../decode/decode-context.ts'
import { decodeValue } from '../decode/decode-value.ts'
import type { Mapping } from '../decode/mapping.ts'
import { readDoorSettings } from '../door-settings.ts'
import type { Heard } from '../heard-messages.ts'
import { nameBook } from '../name-book.ts'
import type { Intake, Refusal, Report } from '../report.ts'
import type { RefusedTopic } from './refused.ts'
import { readTopic } from './topics.ts'

export interface EarParts {
  readonly clock: Clock
  readonly intake: Intake
  readonly vessels: () => readonly VesselRecord[]
  readonly refused: RefusedTopic
  readonly onHeard?: (heard: Heard) => void
}

/** A topic outside of ours that a vessel's door settings name. */
interface OwnTopic {
  readonly vessel: string
  readonly mapping: Mapping
}

const OF_NOBODY: Refusal = {
  index: 0,
  code: 'wrong-shape',
  message: 'No mapping of a vessel’s doors names this topic.',
}

/** Hears messages of any broker: decodes them, hands the readings in, and tells what was refused. */
export class Ear {
  readonly #parts: EarParts
  readonly #names
  #ownTopics: ReadonlyMap<string, OwnTopic> = new Map()
  #ownTopicsOf: readonly VesselRecord[] = []

  constructor(parts: EarParts) {
    this.#parts = parts
    this.#names = nameBook(parts.vessels)
  }

  /** Resolves when all readings that were not refused are on disk; rejects when they could not be stored. */
  async hear(topic: string, payload: Uint8Array, by?: string): Promise<void> {
    const decoded = this.#decode(topic, payload)
    if (decoded === null) {
      if (readTopic(topic).kind === 'foreign') this.tell(topic, payload, by, [], [OF_NOBODY])
      return
    }
    const { vessel, reports, positions, refused } = decoded
    const said: Refusal[] = [...refused]
    let taken = reports
    if (reports.length > 0) {
      const receipt = await this.#parts.intake.accept(reports, 'mqtt')
      const notTaken = new Set(receipt.refused.map(({ index }) => index))
      taken = notTaken.size === 0 ? reports : reports.filter((_, index) => !notTaken.has(index))
      said.push(...receipt.refused.map(one => ({ ...one, index: positions[one.index] ?? one.index })))
    }
    if (said.length > 0) this.#parts.refused.tell(this.#known(vessel), topic, said, by)
    this.tell(topic, payload, by, taken, said)
  }

  /** Tells whoever watches the door of a message, and of what was made of it. */
  tell(
    topic: string,
    payload: Uint8Array,
    by: string | undefined,
    readings: readonly Report[],
    refused: readonly Refusal[],
  ): void {
    const message = { door: 'mqtt', where: topic, by: by ?? null, kind: null } as const
    this.#parts.onHeard?.({ ...message, body: payload, readings, refused })
  }

  /** The vessel that a name in a topic stands for; undefined: none, or it can not be told which. */
  vesselMeant(written: string): string | undefined {
    return this.#names.vessel(written)
  }

  /** Topics outside of ours that are heard at the moment, with their vessels. */
  ownTopics(): ReadonlyMap<string, OwnTopic> {
    const vessels = this.#parts.vessels()
    if (vessels === this.#ownTopicsOf) return this.#ownTopics
    const same =
      vessels.length === this.#ownTopicsOf.length &&
      vessels.every(({ doors, name }, n) => {
        const before = this.#ownTopicsOf[n]!
        return before.doors === doors && before.name === name
      })
    this.#ownTopicsOf = vessels
    if (same) return this.#ownTopics
    this.#ownTopics = new Map(
      vessels.flatMap(({ name, doors }) =>
        Object.values(readDoorSettings(doors, name).settings?.mappings ?? {}).flatMap(({ topic, mapping }) =>
          topic === null ? [] : [[topic, { vessel: name, mapping }] as const],
        ),
      ),
    )
    return this.#ownTopics
  }

  #decode(topic: string, payload: Uint8Array): (Decoded & { readonly vessel: string | null }) | null {
    const { clock } = this.#parts
    const context: DecodeContext = { names: this.#names, now_ms: clock.now_ms() }
    const read = readTopic(topic)
    switch (read.kind) {
      case 'cellar only':
      case 'report':
        return null
      case 'foreign': {
        const own = this.ownTopics().get(topic)
        if (own === undefined) return null
        const { vessel, mapping } = own
        return { vessel, ...decode('application/json', payload, { ...context, vessel, mapping }) }
      }
      case 'wrong': {
        const message = `No readings are taken on ${topic.slice(0, 80)}; publish on attemper/VESSEL/INSTRUMENT/QUANTITY or attemper/VESSEL/senml.`
        return { vessel: read.vessel, ...refuseAll(message) }
      }
      case 'pack': {
        const decoded = decode(undefined, payload, { ...context, vessel: read.vessel })
        return { vessel: read.vessel, ...decoded }
      }
      case 'value':
        return { vessel: read.vessel, ...decodeValue(payload, read, context) }
    }
  }

  /** Only vessels that exist get a topic for their refusals; names from outside are without end. */
  #known(vessel: string | null): string | null {
    if (vessel === null) return null
    const found = this.#names.find({ vessel, instrument: '', quantity: '' })
    return !found.found && found.code === 'unknown-vessel' ? null : vessel
  }
}
