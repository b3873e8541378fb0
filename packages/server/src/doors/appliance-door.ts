import type { ConfirmedBy, Order } from '@attemper/core/batch/appliance-link.ts'
import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'

/** What a door says of a command that was handed to it. */
export interface Sent {
  readonly sent: boolean
  /** What was in the way, in the words of that machine; null: nothing. */
  readonly problem: string | null
  /** It is certain already that the appliance has it. Left out: that comes later as news, or never. */
  readonly confirmed?: ConfirmedBy
  /** It went to where nobody can know whether an appliance hears it. */
  readonly cannotKnow?: true
  /** The appliance is there, and has answered that it does not do it. */
  readonly refused?: true
}

/** What comes from an appliance without being asked. */
export type ApplianceNews = { readonly appliance: ApplianceName } & (
  | {
      readonly kind: 'listening'
      readonly listens: boolean | null
      readonly takesReceipt: boolean
      readonly where: string
    }
  /** It has taken the message with this command. */
  | { readonly kind: 'receipt'; readonly fence: number }
  /** What it does now, by which command. */
  | { readonly kind: 'report'; readonly order: Order; readonly fence: number }
)

/**
 * Sends commands to the appliances of one vessel. `send` never throws: what could not be sent is reported. `close` rejects
 * when something may be left on for ever.
 */
export interface ApplianceDoor {
  send(command: Command): Promise<Sent>
  /** Tells at once how it stands, and then each change. Left out: nothing ever comes by itself. Returns how to stop it. */
  listen?(listener: (news: ApplianceNews) => void): () => void
  /**
   * Whether telling an appliance the same again is the only way to find out that it is still there (a plug that is asked, a
   * coil). Left out: no.
   */
  mustAsk?(appliance: ApplianceName): boolean
  /** False: nobody switches it through a door. Left out: through this one. */
  switches?(appliance: ApplianceName): boolean
  close(): Promise<void>
}
