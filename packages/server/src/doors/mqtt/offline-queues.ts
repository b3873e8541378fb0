import type { Aedes } from 'aedes'

export interface QueueLimits {
  /** Messages that wait for one client. */
  readonly messages: number
  /** And their payloads together. */
  readonly bytes: number
  /** Sessions that are kept for clients that are away. */
  readonly sessions: number
}

const USUAL: QueueLimits = { messages: 500, bytes: 1_048_576, sessions: 200 }

interface Queue {
  messages: number
  bytes: number
}

interface Packet {
  readonly topic?: string
  readonly payload?: unknown
  readonly messageId?: number | undefined
}

interface ById {
  readonly id: string
}

interface Waiter {
  readonly clientId: string
}

/** What the broker keeps for its clients, as far as it is used here; its types leave it out. */
interface Persistence {
  outgoingEnqueue(waiter: Waiter, packet: Packet): Promise<void>
  outgoingEnqueueCombi(waiters: readonly Waiter[], packet: Packet): Promise<void>
  outgoingClearMessageId(client: ById, packet: Packet): Promise<Packet | undefined>
  outgoingStream(client: ById): AsyncIterable<Packet>
  cleanSubscriptions(client: ById): Promise<void>
}

/**
 * Bounds what the broker keeps in memory for clients that are away, or that never acknowledge. When a queue is full its oldest
 * message gives way: of commands and readings the latest are worth most. When too many clients are away, the session of the one
 * that has been so for longest is forgotten; it subscribes again.
 */
export class OfflineQueues {
  readonly #limits: QueueLimits
  readonly #persistence: Persistence
  readonly #queues = new Map<string, Queue>()
  /** Clients that are away and want to be waited for; longest first. */
  readonly #away = new Set<string>()

  constructor(broker: Aedes, limits: QueueLimits = USUAL) {
    const { persistence } = broker as unknown as { readonly persistence: Persistence }
    this.#persistence = persistence
    this.#limits = limits
    const enqueue = persistence.outgoingEnqueueCombi.bind(persistence)
    const clear = persistence.outgoingClearMessageId.bind(persistence)
    persistence.outgoingEnqueueCombi = async (waiters, packet) => {
      const ids = new Set(waiters.map(({ clientId }) => clientId))
      for (const id of ids) await this.#makeRoom(id, packet)
      for (const { clientId } of waiters) this.#count(clientId, packet, 1)
      await enqueue(waiters, packet)
    }
    persistence.outgoingEnqueue = (waiter, packet) => persistence.outgoingEnqueueCombi([waiter], packet)
    persistence.outgoingClearMessageId = async (client, packet) => {
      const cleared = await clear(client, packet)
      if (cleared !== undefined) this.#count(client.id, cleared, -1)
      return cleared
    }
  }

  came(id: string): void {
    this.#away.delete(id)
  }

  /** `isKept`: it asked for its session to be kept. */
  went(id: string, isKept: boolean): void {
    this.#away.delete(id)
    if (isKept) this.#away.add(id)
    const longest = this.#away.size > this.#limits.sessions ? this.#away.values().next().value : undefined
    if (longest !== undefined) void this.#forget(longest)
  }

  /** Messages that wait, of all clients. */
  get waiting(): number {
    return [...this.#queues.values()].reduce((sum, { messages }) => sum + messages, 0)
  }

  async #makeRoom(id: string, packet: Packet): Promise<void> {
    const bytes = bytesOf(packet)
    const isFull = () => {
      const queue = this.#queues.get(id)
      return (
        queue !== undefined &&
        (queue.messages >= this.#limits.messages || queue.bytes + bytes > this.#limits.bytes)
      )
    }
    while (isFull()) if (!(await this.#dropOldest(id))) return
  }

  /** false: there is none that can be taken out. */
  async #dropOldest(id: string): Promise<boolean> {
    const client = { id }
    for await (const oldest of this.#persistence.outgoingStream(client)) {
      const dropped = await this.#persistence.outgoingClearMessageId(client, oldest)
      return dropped !== undefined
    }
    // What is counted and not there.
    this.#queues.delete(id)
    return false
  }

  async #forget(id: string): Promise<void> {
    this.#away.delete(id)
    await this.#persistence.cleanSubscriptions({ id })
    while (await this.#dropOldest(id));
  }

  #count(id: string, packet: Packet, sign: 1 | -1): void {
    const queue = this.#queues.get(id) ?? { messages: 0, bytes: 0 }
    queue.messages += sign
    queue.bytes += sign * bytesOf(packet)
    if (queue.messages > 0) this.#queues.set(id, queue)
    else this.#queues.delete(id)
  }
}

/** With something for the parts around the payload. */
function bytesOf({ payload, topic }: { readonly payload?: unknown; readonly topic?: string }): number {
  const size = typeof payload === 'string' || Buffer.isBuffer(payload) ? payload.length : 0
  return size + (topic ?? '').length + 100
}
