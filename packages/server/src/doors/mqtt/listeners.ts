import type { Listening } from './mqtt-door.ts'
import { readTopic } from './topics.ts'

/** Who listens to what at a broker, and with which quality of service. */
export class Listeners<Client> {
  readonly #filters = new Map<Client, Map<string, number>>()

  add(client: Client, filter: string, qos: number): void {
    const own = this.#filters.get(client) ?? new Map<string, number>()
    this.#filters.set(client, own.set(filter, qos))
  }

  remove(client: Client, filter: string): void {
    this.#filters.get(client)?.delete(filter)
  }

  /** Whether this one is an appliance that is commanded on the topic and acknowledges what it takes. */
  acknowledgesCommands(client: Client, topic: string): boolean {
    const own = this.#filters.get(client)
    if (own === undefined || readTopic(topic).kind !== 'cellar only') return false
    return filtersFor(topic).some(filter => (own.get(filter) ?? 0) > 0)
  }

  forget(client: Client): void {
    this.#filters.delete(client)
  }

  /**
   * Whether somebody has asked for the commands on a topic: for these, or for all of that vessel's appliances. Whoever listens
   * to everything there is (a logger, a screen) is no appliance.
   */
  hearCommands(topic: string): Listening {
    const wanted = filtersFor(topic)
    const qualities = [...this.#filters.values()].flatMap(own =>
      wanted.flatMap(filter => {
        const qos = own.get(filter)
        return qos === undefined ? [] : [qos]
      }),
    )
    return { listens: qualities.length > 0, takesReceipt: qualities.some(qos => qos > 0) }
  }
}

function filtersFor(topic: string): readonly string[] {
  const above = topic.slice(0, topic.lastIndexOf('/'))
  return [topic, `${above}/+`, `${above}/#`]
}
