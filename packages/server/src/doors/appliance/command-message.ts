import type { Command } from '@attemper/core/engine/contract.ts'

/**
 * What an appliance is told, in MQTT and HTTP alike. Times are seconds since 1970-01-01T00:00 UTC on the cellar's clock; an
 * appliance without a clock may count `until - at` from the moment at which a command that is not retained arrives.
 */
export interface CommandMessage {
  readonly on: boolean
  /** From then on it must be off, unless it has heard something newer. */
  readonly until: number
  /** A command with a lower number than one that was seen is not obeyed. */
  readonly fence: number
  /** When it was sent. */
  readonly at: number
}

export function commandMessage({ on, until_s, fence }: Command, now_ms: number): string {
  const message: CommandMessage = { on, until: until_s, fence, at: Math.floor(now_ms / 1000) }
  return JSON.stringify(message)
}
