import type { Priority } from '@attemper/core/alarms/catalogue.ts'
import type { Store } from '../store/store.ts'
import type { Message } from './message.ts'
import { OUTBOX_DOCUMENT, printOutbox, readOutbox, type Tried } from './outbox-document.ts'

/** A message on its way to one recipient. */
export interface Parcel {
  readonly id: number
  readonly channel: string
  readonly to: string | null
  readonly message: Message
  readonly made_ms: number
  /** Not before. */
  readonly due_ms: number
  readonly attempts: number
}

/** More than this is no longer read by anybody: the least urgent and oldest give way. */
const MOST_PARCELS = 300

/**
 * Messages that have not been sent yet, kept in the store before anything else is done with them, so that a restart tries
 * them again. When the store refuses (a full disk), they are kept in memory, and the trouble is told.
 */
export class Outbox {
  readonly #store: Pick<Store, 'getDocument' | 'putDocument'>
  readonly #onStorage: (problem: string | null) => void
  #nextId: number
  #parcels: readonly Parcel[]
  #troubles: Readonly<Record<string, string>>
  #tried: Readonly<Record<string, Tried>>
  #isFailing = false
  #isTogether = false
  /** How many messages gave way to others or became too old, since the start. */
  dropped = 0

  constructor(
    store: Pick<Store, 'getDocument' | 'putDocument'>,
    now_ms: number,
    onStorage: (problem: string | null) => void,
  ) {
    this.#store = store
    this.#onStorage = onStorage
    const { nextId, parcels, troubles, tried } = readOutbox(store.getDocument(OUTBOX_DOCUMENT))
    this.#nextId = nextId
    this.#troubles = troubles
    this.#tried = tried
    // Whatever kept a message from being sent may have gone with the restart.
    this.#parcels = parcels.map(each => (each.attempts === 0 ? each : { ...each, due_ms: now_ms }))
  }

  get parcels(): readonly Parcel[] {
    return this.#parcels
  }

  get troubles(): Readonly<Record<string, string>> {
    return this.#troubles
  }

  get tried(): Readonly<Record<string, Tried>> {
    return this.#tried
  }

  /** However many changes are made within, they are written once. */
  together(changes: () => void): void {
    this.#isTogether = true
    try {
      changes()
    } finally {
      this.#isTogether = false
      this.#save()
    }
  }

  /** Adds some and takes out others in one write. */
  change(
    added: readonly Omit<Parcel, 'id' | 'attempts'>[],
    isWithdrawn: (parcel: Parcel) => boolean = () => false,
  ): void {
    const kept = this.#parcels.filter(parcel => !isWithdrawn(parcel))
    if (added.length === 0 && kept.length === this.#parcels.length) return
    const all = [...kept, ...added.map(each => ({ ...each, id: this.#nextId++, attempts: 0 }))]
    const fewer = all.toSorted(mostUrgentFirst).slice(0, MOST_PARCELS)
    this.dropped += all.length - fewer.length
    this.#parcels = fewer
    this.#save()
  }

  dropOlderThan(made_ms: number): void {
    const before = this.#parcels.length
    this.change([], parcel => parcel.made_ms < made_ms)
    this.dropped += before - this.#parcels.length
  }

  sent(ids: ReadonlySet<number>): void {
    this.change([], ({ id }) => ids.has(id))
  }

  /** They could not be sent, and are to be tried again after a while that grows with their attempts. */
  failed(ids: ReadonlySet<number>, due_ms: (attempts: number) => number): void {
    this.#parcels = this.#parcels.map(parcel =>
      ids.has(parcel.id)
        ? { ...parcel, attempts: parcel.attempts + 1, due_ms: due_ms(parcel.attempts + 1) }
        : parcel,
    )
    this.#save()
  }

  /** Something has been mended: those that have been tried in vain are due at once. */
  tryAgain(channel: string | null, now_ms: number): void {
    this.#parcels = this.#parcels.map(parcel =>
      parcel.attempts > 0 && (channel === null || parcel.channel === channel)
        ? { ...parcel, due_ms: now_ms }
        : parcel,
    )
  }

  setTrouble(channel: string, problem: string | null): void {
    const { [channel]: _, ...others } = this.#troubles
    this.#troubles = problem === null ? others : { ...others, [channel]: problem }
    this.#save()
  }

  /** The other side took a message, or did not. */
  noteTrial(channel: string, at_ms: number, isTaken: boolean): void {
    const { took_ms, failed_ms } = this.#tried[channel] ?? { took_ms: null, failed_ms: null }
    const trial = isTaken ? { took_ms: at_ms, failed_ms } : { took_ms, failed_ms: at_ms }
    this.#tried = { ...this.#tried, [channel]: trial }
    this.#save()
  }

  /** What these channels have met says nothing any more. */
  forgetTrials(channels: ReadonlySet<string>): void {
    this.#tried = Object.fromEntries(Object.entries(this.#tried).filter(([name]) => !channels.has(name)))
    this.#save()
  }

  #save() {
    if (this.#isTogether) return
    const text = printOutbox({
      nextId: this.#nextId,
      parcels: this.#parcels,
      troubles: this.#troubles,
      tried: this.#tried,
    })
    let problem: string | null = null
    try {
      this.#store.putDocument(OUTBOX_DOCUMENT, text)
    } catch (error) {
      problem = error instanceof Error ? error.message : String(error)
    }
    if ((problem !== null) === this.#isFailing) return
    this.#isFailing = problem !== null
    this.#onStorage(problem)
  }
}

const RANK: Readonly<Record<Priority, number>> = { high: 0, medium: 1, low: 2 }

/** New alarms before the news that one is over; then by priority; then the oldest. */
export function mostUrgentFirst(a: Parcel, b: Parcel): number {
  return (
    Number(a.message.kind !== 'raised') - Number(b.message.kind !== 'raised') ||
    RANK[a.message.priority] - RANK[b.message.priority] ||
    a.id - b.id
  )
}
