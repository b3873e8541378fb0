import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { ApplianceDoor } from '../doors/appliance-door.ts'
import { reasonOf } from './trouble.ts'

/**
 * Hands commands to a vessel's door, each at once: a slow appliance must not hold up the other one, and fencing numbers
 * keep a late command from being obeyed. A command that could not be handed over is not tried again here: the engine renews
 * the lease of what should be on, and what should be off switches itself off when its lease lapses. Says once that an
 * appliance can not be reached, and once that it can.
 */
export class CommandSender {
  readonly #door: ApplianceDoor
  readonly #onChange: (appliance: ApplianceName, problem: string | null) => void
  readonly #unreached = new Set<ApplianceName>()
  readonly #underway = new Set<Promise<void>>()

  constructor(door: ApplianceDoor, onChange: (appliance: ApplianceName, problem: string | null) => void) {
    this.#door = door
    this.#onChange = onChange
  }

  send(commands: readonly Command[]): void {
    for (const command of commands) {
      const sending = this.#sendOne(command).finally(() => this.#underway.delete(sending))
      this.#underway.add(sending)
    }
  }

  /** Closes the door when everything handed over so far has been sent or given up. */
  async close(): Promise<void> {
    await Promise.allSettled(this.#underway)
    await this.#door.close()
  }

  async #sendOne(command: Command): Promise<void> {
    const { appliance } = command
    const problem = await this.#attempt(command)
    if (problem !== null && !this.#unreached.has(appliance)) {
      this.#unreached.add(appliance)
      this.#onChange(appliance, problem)
    } else if (problem === null && this.#unreached.delete(appliance)) {
      this.#onChange(appliance, null)
    }
  }

  /** What kept the command from being sent; null: nothing. */
  async #attempt(command: Command): Promise<string | null> {
    try {
      const { sent, problem } = await this.#door.send(command)
      return sent ? null : (problem ?? 'the door does not say why')
    } catch (error) {
      // A door promises not to throw; one that does must not stop the batch.
      return reasonOf(error)
    }
  }
}
