import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceDoor } from '../../doors/appliance-door.ts'

/** A door that remembers what it was told; it can be out of order, and tell a test of each command. */
export class RecordingDoor implements ApplianceDoor {
  commands: Command[] = []
  problem: string | null = null
  isClosed = false
  onSend: (command: Command) => void = () => undefined

  async send(command: Command) {
    this.onSend(command)
    if (this.problem !== null) return { sent: false, problem: this.problem }
    this.commands.push(command)
    return { sent: true, problem: null, confirmed: 'answer' } as const
  }

  async close(): Promise<void> {
    this.isClosed = true
  }

  /** Everything since the last time. */
  take(): Command[] {
    const { commands } = this
    this.commands = []
    return commands
  }
}
