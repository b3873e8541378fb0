import type { Command } from '@attemper/core/engine/contract.ts'

/**
 * Sends commands to the appliances of one vessel. `send` never throws: what could not be sent is reported. `close` rejects
 * when something may be left on for ever.
 */
export interface ApplianceDoor {
  send(command: Command): Promise<{ readonly sent: boolean; readonly problem: string | null }>
  close(): Promise<void>
}
