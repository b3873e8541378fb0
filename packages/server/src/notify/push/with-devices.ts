import type { ChannelSettings, NotifySettings, Recipient } from '../settings.ts'
import type { PushDevice } from './push-devices.ts'

const USUAL_NAME = 'devices'

/**
 * The settings with the devices in them: each is a recipient of its own. A row of the settings is about the devices of
 * that name, or of the person of that name; a device that no row is about is told everything. Without a push channel in
 * the settings there is one as soon as there is a device: whoever adds it wants to be told, and need not write a line.
 */
export function withDevices(settings: NotifySettings, devices: readonly PushDevice[]): NotifySettings {
  const own = settings.channels.find(({ kind }) => kind === 'push')
  if (own === undefined && devices.length === 0) return settings
  const channel: ChannelSettings = own ?? { kind: 'push', name: freeName(settings), contact: null }
  const rows = settings.tell.filter(row => row.channel === channel.name)
  const told = rows.flatMap(row =>
    devices.filter(device => isAbout(row, device)).map(({ id }): Recipient => ({ ...row, to: id })),
  )
  const unnamed = devices
    .filter(device => !rows.some(row => isAbout(row, device)))
    .map(({ id, name }): Recipient => ({ ...EVERYTHING, who: name, channel: channel.name, to: id }))
  return {
    ...settings,
    channels: own === undefined ? [...settings.channels, channel] : settings.channels,
    tell: [...settings.tell.filter(row => row.channel !== channel.name), ...told, ...unnamed],
  }
}

const EVERYTHING = { fromPriority: 'low', quiet: null, whenOver: true } as const

function isAbout({ who }: Recipient, { name, who: person }: PushDevice): boolean {
  return who === name || who === person
}

function freeName({ channels }: NotifySettings): string {
  const taken = new Set(channels.map(({ name }) => name))
  let name = USUAL_NAME
  for (let number = 2; taken.has(name); number++) name = `${USUAL_NAME} ${number}`
  return name
}
