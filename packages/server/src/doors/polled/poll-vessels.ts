import { listChannels } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { VesselRecord } from '../../store/store.ts'
import { readDoorSettings } from '../door-settings.ts'
import { hwmonInput } from '../kernel/hwmon.ts'
import { KernelFiles } from '../kernel/kernel-file.ts'
import { oneWireProbe } from '../kernel/one-wire.ts'
import { modbusRegister } from '../modbus/register.ts'
import type { ListenSetting } from './listen-setting.ts'
import { listenedChannel } from './listened-channel.ts'
import { type PollParts, pollSource } from './poll-source.ts'
import type { Source } from './source.ts'

export interface PollVesselsParts extends PollParts {
  readonly vessels: () => readonly VesselRecord[]
  /** Where the kernel's files begin; left out: /. */
  readonly root?: string
}

/** How often the vessels are looked at for new settings. */
const LOOK_EVERY_MS = 2000

/**
 * Asks the instruments that do not speak by themselves, as the vessels' doors say (`listen:`), each as often as its vessel
 * file says. Vessels may come, change and go meanwhile. Returns how to end it.
 */
export function pollVessels(parts: PollVesselsParts): () => void {
  const { vessels, clock, timers } = parts
  const files = new KernelFiles(parts.root ?? '/')
  const running = new Map<string, { readonly record: VesselRecord; readonly stop: () => void }>()
  let callOff: () => void = () => undefined

  const look = () => {
    // First, so that a look that fails (records that cannot be read) is not the last.
    callOff = timers.set(clock.now_ms() + LOOK_EVERY_MS * clock.speed, look)
    const records = new Map(vessels().map(record => [record.name, record]))
    for (const [name, { record, stop }] of running) {
      const now = records.get(name)
      if (now?.text === record.text && now.doors === record.doors) continue
      stop()
      running.delete(name)
    }
    for (const [name, record] of records) {
      if (!running.has(name)) running.set(name, { record, stop: pollVessel(record, files, parts) })
    }
  }
  look()
  return () => {
    callOff()
    for (const { stop } of running.values()) stop()
    running.clear()
  }
}

function pollVessel(record: VesselRecord, files: KernelFiles, parts: PollParts): () => void {
  const { settings } = readDoorSettings(record.doors, record.name)
  const { vessel } = readVessel(record.text, record.name)
  const listen = Object.entries(settings?.listen ?? {})
  const channels = vessel === null ? [] : listChannels(vessel)
  const stops = listen.map(([written, setting]) => {
    const listened = listenedChannel(written, setting.quantity, channels)
    if (!listened.ok) {
      const { message, cure } = listened
      parts.log(`${written} of ${record.name} is not listened to. ${message} ${cure} Correct the doors.`)
      return () => undefined
    }
    const { instrument, channel } = listened.channel
    const stream = { vessel: record.name, instrument: instrument.name, quantity: channel.quantity }
    return pollSource(sourceOf(setting, files), stream, instrument.every_s, parts)
  })
  return () => {
    for (const stop of stops) stop()
  }
}

function sourceOf(setting: ListenSetting, files: KernelFiles): Source {
  switch (setting.kind) {
    case 'one-wire':
      return oneWireProbe(setting.id, files)
    case 'hwmon':
      return hwmonInput(setting.input, files)
    case 'modbus':
      return modbusRegister(setting.register, setting.unit)
  }
}
