/** Who listens to what at a broker. */
export class Listeners<Client> {
  readonly #filters = new Map<Client, Set<string>>()

  add(client: Client, filter: string): void {
    const own = this.#filters.get(client) ?? new Set<string>()
    this.#filters.set(client, own.add(filter))
  }

  remove(client: Client, filter: string): void {
    this.#filters.get(client)?.delete(filter)
  }

  forget(client: Client): void {
    this.#filters.delete(client)
  }

  /**
   * Whether somebody has asked for the commands on a topic: for these, or for all of that vessel's appliances. Whoever listens
   * to everything there is (a logger, a screen) is no appliance.
   */
  hearCommands(topic: string): boolean {
    const above = topic.slice(0, topic.lastIndexOf('/'))
    const wanted = [topic, `${above}/+`, `${above}/#`]
    return [...this.#filters.values()].some(own => wanted.some(filter => own.has(filter)))
  }
}
