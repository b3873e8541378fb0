import type { Order } from '@attemper/core/batch/appliance-link.ts'
import type { Command } from '@attemper/core/engine/contract.ts'
import type { ApplianceName } from '@attemper/core/engine/events.ts'

/**
 * What an appliance is told, in MQTT and HTTP alike. Times are seconds since 1970-01-01T00:00 UTC on the cellar's clock; an
 * appliance without a clock may count `until - at` from the moment at which a command that is not retained arrives.
 */
export type CommandMessage = MessageEnvelope & ({ readonly on: boolean } | TargetOrder)

interface TargetOrder {
  /** What a thermostat is set to, °C; null: off. */
  readonly target: number | null
}

interface MessageEnvelope {
  /** From then on it must be off, unless it has heard something newer. */
  readonly until: number
  /** A command with a lower number than one that was seen is not obeyed. */
  readonly fence: number
  /** When it was sent. */
  readonly at: number
}

export function commandMessage(command: Command, now_ms: number): string {
  const { until_s, fence } = command
  const order = command.appliance === 'thermostat' ? { target: command.target_C } : { on: command.on }
  const message: CommandMessage = { ...order, until: until_s, fence, at: Math.floor(now_ms / 1000) }
  return JSON.stringify(message)
}

/** The command that a message stands for, for whoever hears it on the topic of an appliance. */
export function commandHeard(appliance: ApplianceName, text: string): Command | null {
  const message = JSON.parse(text) as CommandMessage
  const lease = { until_s: message.until, fence: message.fence }
  if (appliance === 'thermostat') {
    return 'target' in message ? { appliance, target_C: message.target, ...lease } : null
  }
  return 'on' in message ? { appliance, on: message.on, ...lease } : null
}

/** What an appliance reports of itself: what it does, and by which command. null: no report. */
export function reportHeard(
  appliance: ApplianceName,
  text: string,
): { readonly order: Order; readonly fence: number } | null {
  const message = objectIn(text)
  if (message === null || !Number.isSafeInteger(message.fence)) return null
  const fence = message.fence as number
  const order = appliance === 'thermostat' ? message.target : message.on
  const isOrder =
    appliance === 'thermostat' ? order === null || Number.isFinite(order) : typeof order === 'boolean'
  return isOrder ? { order: order as Order, fence } : null
}

export function reportMessage(appliance: ApplianceName, order: Order, fence: number): string {
  return JSON.stringify(appliance === 'thermostat' ? { target: order, fence } : { on: order === true, fence })
}

/** The fencing number of a command's message; null: it is none. */
export function fenceHeard(text: string): number | null {
  const fence = objectIn(text)?.fence
  return typeof fence === 'number' ? fence : null
}

function objectIn(text: string): Readonly<Record<string, unknown>> | null {
  try {
    const value: unknown = JSON.parse(text)
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : null
  } catch {
    return null
  }
}
