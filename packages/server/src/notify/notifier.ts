import { isDeepStrictEqual } from 'node:util'
import type { Finding } from '@attemper/core/finding.ts'
import type { AlarmChange } from '../alarms/alarm-change.ts'
import type { Clock } from '../live/clock.ts'
import type { OnTrouble } from '../live/trouble.ts'
import type { Store } from '../store/store.ts'
import { type Channel, ChannelProblem } from './channels/channel.ts'
import { emailChannel } from './channels/email.ts'
import { mqttChannel, type Publish } from './channels/mqtt.ts'
import { pushChannel } from './channels/push.ts'
import { webhookChannel } from './channels/webhook.ts'
import { Courier } from './courier.ts'
import { composeMessage, type MessageContext, testMessage } from './message.ts'
import { Outbox, type Parcel } from './outbox.ts'
import { type PushDevice, PushDevices } from './push/push-devices.ts'
import { openSenderKeys, type SenderKeys } from './push/sender-keys.ts'
import { withDevices } from './push/with-devices.ts'
import { readSettings } from './read-settings.ts'
import { meaningOf, routesFor } from './route.ts'
import { type ChannelSettings, NOBODY, type NotifySettings, type PushSettings } from './settings.ts'

/** The store's document that holds the text of the settings, as the brewer wrote it. */
export const SETTINGS_DOCUMENT = 'notify.yaml'

/** Tells people of alarms. Nothing here waits for the network: what is to be told is kept, and sent on the side. */
export interface Notifier {
  /** Alarms have changed. Never throws. */
  notify(changes: readonly AlarmChange[]): void
  /** Takes over new settings unless they have errors; answers with what is to be said about them. */
  useSettings(text: string, by: string): readonly Finding[]
  /** The text as it was written, passwords included. */
  settingsText(): string
  /** The names, in the order of the settings. */
  channels(): readonly ChannelStatus[]
  /** Sends a test message to everybody who is told by this channel, at once; answers in a sentence. */
  tryChannel(name: string): Promise<ChannelTrial>
  /** The browsers that are told by web push, and the key that they subscribe to. */
  readonly devices: PushDevices
  readonly pushKey: string
  /** Sends a test message to one device, at once. */
  tryDevice(device: PushDevice): Promise<ChannelTrial>
  /** How many messages gave way to others or became too old, since the start. */
  dropped(): number
  /** Told at once which channels fail, and later when one begins to fail (why) or works again (null). */
  watchChannels(listener: (channel: string, problem: string | null) => void): void
  /** Resolves when nothing is on its way; what waits for its time still waits. */
  settled(): Promise<void>
  close(): Promise<void>
}

export interface ChannelStatus {
  readonly name: string
  readonly kind: ChannelSettings['kind']
  readonly where: string
  readonly told: readonly string[]
  readonly waiting: number
  readonly problem: string | null
  /** When the other side last took a message, and when it last did not; null: never since it was set up like this. */
  readonly took_ms: number | null
  readonly failed_ms: number | null
}

export interface ChannelTrial {
  readonly ok: boolean
  readonly sentence: string
}

export interface NotifierOptions {
  readonly store: Pick<Store, 'getDocument' | 'putDocument' | 'appendAudit'>
  readonly clock: Clock
  /** Calls once at a time of the cellar's clock (live/timers.ts); returns how to call it off. */
  readonly timers: { set(at_ms: number, call: () => void): () => void }
  /** Local time = UTC + this, at a moment of the cellar's clock. */
  readonly localOffset_s: (at_ms: number) => number
  /** Left out: there is no broker. */
  readonly publish?: Publish
  /** For tests: a push service may be on this machine. */
  readonly mayPushToLoopback?: boolean
  readonly onTrouble?: OnTrouble
}

/** Takes up what waited when the software was stopped. */
export function openNotifier(options: NotifierOptions): Notifier {
  return new KeptNotifier(options)
}

class KeptNotifier implements Notifier {
  readonly #options: NotifierOptions
  readonly #outbox: Outbox
  readonly #courier: Courier
  readonly #listeners: ((channel: string, problem: string | null) => void)[] = []
  readonly devices: PushDevices
  readonly #keys: SenderKeys
  /** As they were written. */
  #written: NotifySettings = NOBODY
  /** With the devices in them. */
  #settings: NotifySettings = NOBODY
  #channels: ReadonlyMap<string, Channel> = new Map()

  constructor(options: NotifierOptions) {
    this.#options = options
    const { store, clock, timers, onTrouble } = options
    this.#outbox = new Outbox(store, clock.now_ms(), problem => {
      onTrouble?.(
        problem === null
          ? { kind: 'records kept again', what: 'messages', batch: null }
          : { kind: 'records failing', what: 'messages', reason: problem, batch: null },
      )
    })
    this.#courier = new Courier({
      clock,
      timers,
      outbox: this.#outbox,
      onTrouble: (channel, problem) => {
        for (const listener of this.#listeners) listener(channel, problem)
      },
    })
    this.#keys = openSenderKeys(store)
    this.devices = new PushDevices(store, clock, options.mayPushToLoopback === true)
    this.devices.onChange = () => this.#takeDevices()
    this.#take(readSettings(this.settingsText()).settings ?? NOBODY)
  }

  get pushKey(): string {
    return this.#keys.publicKey
  }

  notify(changes: readonly AlarmChange[]): void {
    this.#outbox.together(() => {
      for (const change of changes) this.#post(change)
    })
    this.#courier.carry()
  }

  useSettings(text: string, by: string): readonly Finding[] {
    const { settings, findings } = readSettings(text)
    if (settings === null) return findings
    const { store, clock } = this.#options
    store.putDocument(SETTINGS_DOCUMENT, text)
    store.appendAudit({ at_ms: clock.now_ms(), who: by, what: 'changed who is told of alarms, and how' })
    const changed = this.#written.channels.filter(
      before => !settings.channels.some(each => isDeepStrictEqual(each, before)),
    )
    this.#outbox.forgetTrials(new Set(changed.map(({ name }) => name)))
    this.#take(settings)
    return findings
  }

  settingsText(): string {
    return this.#options.store.getDocument(SETTINGS_DOCUMENT) ?? ''
  }

  channels(): readonly ChannelStatus[] {
    return this.#settings.channels.map(({ name, kind }) => ({
      name,
      kind,
      where: this.#channels.get(name)!.where,
      told: [...new Set(this.#settings.tell.filter(each => each.channel === name).map(({ who }) => who))],
      waiting: this.#outbox.parcels.filter(({ channel }) => channel === name).length,
      problem: this.#outbox.troubles[name] ?? null,
      took_ms: this.#outbox.tried[name]?.took_ms ?? null,
      failed_ms: this.#outbox.tried[name]?.failed_ms ?? null,
    }))
  }

  async tryChannel(name: string): Promise<ChannelTrial> {
    const settings = this.#settings.channels.find(each => each.name === name)
    const channel = this.#channels.get(name)
    if (settings === undefined || channel === undefined) {
      const names = [...this.#channels.keys()]
      const there = names.length === 0 ? 'No channel has been set up.' : `There are: ${names.join(', ')}.`
      return { ok: false, sentence: `There is no channel “${name}”. ${there}` }
    }
    const told = this.#settings.tell.filter(each => each.channel === name)
    const isToSome = settings.kind === 'e-mail' || settings.kind === 'push'
    const addresses = isToSome ? [...new Set(told.map(({ to }) => to))] : [null]
    if (settings.kind === 'push' && addresses.length === 0) {
      return { ok: false, sentence: `No device has been added to “${name}”: do so in its browser.` }
    }
    if (addresses.length === 0) {
      return {
        ok: false,
        sentence: `Nobody is told by “${name}”. Add somebody under “tell” in the settings.`,
      }
    }
    const { clock } = this.#options
    const message = testMessage(clock.now_ms(), this.#context(clock.now_ms()))
    const id = `attemper.test.${clock.now_ms()}`
    const answers = await Promise.allSettled(
      addresses.map((to, i) => this.#courier.sendNow(name, to, message, `${id}.${i}`)),
    )
    const failed = answers.find(({ status }) => status === 'rejected')
    if (failed?.status === 'rejected') return { ok: false, sentence: sayFailed(name, failed.reason) }
    this.#courier.works(name)
    const whom = settings.kind === 'e-mail' ? ` for ${addresses.join(' and ')}` : ''
    return { ok: true, sentence: `“${name}” works: ${channel.where} took a test message${whom}.` }
  }

  async tryDevice({ id, name }: PushDevice): Promise<ChannelTrial> {
    const channel = this.#settings.channels.find(({ kind }) => kind === 'push')
    const { clock } = this.#options
    const now_ms = clock.now_ms()
    const message = testMessage(now_ms, this.#context(now_ms))
    try {
      await this.#courier.sendNow(channel!.name, id, message, `attemper.test.${now_ms}.${id}`)
    } catch (error) {
      return { ok: false, sentence: sayFailed(channel!.name, error) }
    }
    if (this.devices.find(id) === null) {
      const cure = 'Add it anew in its browser.'
      return { ok: false, sentence: `“${name}” was removed: its push service knows it no more. ${cure}` }
    }
    this.#courier.works(channel!.name)
    return { ok: true, sentence: `The push service took a test message for “${name}”.` }
  }

  dropped(): number {
    return this.#outbox.dropped
  }

  watchChannels(listener: (channel: string, problem: string | null) => void): void {
    this.#listeners.push(listener)
    for (const [channel, problem] of Object.entries(this.#outbox.troubles)) listener(channel, problem)
  }

  settled(): Promise<void> {
    return this.#courier.settled()
  }

  close(): Promise<void> {
    return this.#courier.close()
  }

  #take(written: NotifySettings) {
    this.#written = written
    this.#settings = withDevices(written, this.devices.all)
    const settings = this.#settings
    this.#channels = new Map(settings.channels.map(each => [each.name, this.#channel(each)]))
    this.#courier.setChannels(this.#channels)
  }

  /** A device more or less changes who is told; the channels only when it is the first or the last. */
  #takeDevices() {
    const settings = withDevices(this.#written, this.devices.all)
    if (settings.channels.length === this.#settings.channels.length) this.#settings = settings
    else this.#take(this.#written)
  }

  #channel(settings: ChannelSettings): Channel {
    const { clock, publish = null } = this.#options
    switch (settings.kind) {
      case 'e-mail':
        return emailChannel(settings)
      case 'webhook':
        return webhookChannel(settings, clock)
      case 'mqtt':
        return mqttChannel(settings, publish, clock)
      case 'push':
        return pushChannel(withContact(settings, this.#written.link), this.devices, this.#keys)
    }
  }

  #context(at_ms: number): MessageContext {
    return { link: this.#settings.link, localOffset_s: this.#options.localOffset_s(at_ms) }
  }

  #post(change: AlarmChange) {
    const meaning = meaningOf(change)
    if (meaning === 'nothing') return
    const isOfAlarm = ({ message }: Parcel) => message.alarm?.id === change.alarm.id
    if (meaning === 'seen') {
      this.#outbox.change([], isOfAlarm)
      return
    }
    const now_ms = this.#options.clock.now_ms()
    const context = this.#context(now_ms)
    const routes = routesFor(change, meaning, this.#settings, now_ms, context.localOffset_s)
    const message = composeMessage(change, meaning, context)
    // Somebody who was to be told later, of something that has gone for good meanwhile, need not be told at all.
    const isGone = change.change === 'cleared'
    const unsent = isGone ? this.#outbox.parcels.filter(isOfAlarm) : []
    const added = routes
      .filter(
        ({ recipient: { channel, to } }) => !unsent.some(each => each.channel === channel && each.to === to),
      )
      .map(({ recipient: { channel, to }, due_ms }) => ({ channel, to, message, made_ms: now_ms, due_ms }))
    this.#outbox.change(added, parcel => isGone && isOfAlarm(parcel))
  }
}

/** Some push services refuse whoever does not say where to turn to; the cellar's own address is good enough. */
function withContact(settings: PushSettings, link: string | null): PushSettings {
  const isSafe = link?.startsWith('https://') === true
  return settings.contact === null && isSafe ? { ...settings, contact: link } : settings
}

function sayFailed(name: string, reason: unknown): string {
  if (reason instanceof ChannelProblem) {
    return `“${name}” does not work: ${reason.message}. ${reason.cure}`
  }
  return `“${name}” does not work: ${String(reason)}.`
}
