import type { Message } from '../message.ts'

/** One way of reaching somebody. */
export interface Channel {
  /** How many messages for one recipient it takes together. */
  readonly most: number
  /** Where it goes, for a sentence: "mail.example.org". */
  readonly where: string
  /**
   * Resolves when the other side has taken the messages (not: when somebody has read them). Rejects with a
   * ChannelProblem. `id` is the same when the same messages are sent again, so that a repetition can be known.
   */
  send(to: string | null, messages: readonly Message[], id: string, signal: AbortSignal): Promise<void>
}

/** Why a message did not go out: the rest of a sentence that begins with the name of the channel. */
export class ChannelProblem extends Error {
  readonly cure: string

  constructor(message: string, cure: string) {
    super(message)
    this.cure = cure
  }
}
