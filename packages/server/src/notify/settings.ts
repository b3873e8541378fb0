import type { Priority } from '@attemper/core/alarms/catalogue.ts'

/** Who is reached how: what the text of the settings says. */
export interface NotifySettings {
  /** Where the cellar is found in a browser, without a slash at its end; null: messages carry no link. */
  readonly link: string | null
  readonly channels: readonly ChannelSettings[]
  readonly tell: readonly Recipient[]
}

export type ChannelSettings = EmailSettings | WebhookSettings | MqttSettings | PushSettings

export interface EmailSettings {
  readonly kind: 'e-mail'
  readonly name: string
  readonly server: string
  readonly port: number
  /** tls: from the first byte; starttls: before anything is said; none: in the clear. */
  readonly security: 'tls' | 'starttls' | 'none'
  readonly user: string | null
  readonly password: string
  readonly from: string
}

export interface WebhookSettings {
  readonly kind: 'webhook'
  readonly name: string
  readonly url: string
  /** Key of the signature; null: not signed. */
  readonly secret: string | null
  readonly timeout_s: number
}

export interface MqttSettings {
  readonly kind: 'mqtt'
  readonly name: string
  readonly topic: string
}

/** Browsers that were added as devices; at most one such channel. */
export interface PushSettings {
  readonly kind: 'push'
  readonly name: string
  /** mailto: or https:, for the people who run the push services; null: none is given. */
  readonly contact: string | null
}

export interface Recipient {
  readonly who: string
  readonly channel: string
  /** E-mail address, or the id of a device; null for a channel that has one place to go. */
  readonly to: string | null
  readonly fromPriority: Priority
  /** Local times of day, s after midnight; may go over midnight. */
  readonly quiet: { readonly from_s: number; readonly to_s: number } | null
  readonly whenOver: boolean
}

export const NOBODY: NotifySettings = { link: null, channels: [], tell: [] }
