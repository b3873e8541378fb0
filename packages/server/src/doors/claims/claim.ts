import { realpathSync } from 'node:fs'
import type { ApplianceName } from '@attemper/core/engine/events.ts'
import { listChannels, type NumberedChannel } from '@attemper/core/vessel/channels.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { ApplianceSetting, DoorSettings, ThermostatSetting } from '../door-settings.ts'
import type { ListenSetting } from '../polled/listen-setting.ts'
import { listenedChannel } from '../polled/listened-channel.ts'
import { slugOf } from '../slug.ts'

/** Something that only one may have: a name in topics, a line, a coil, an address, a probe. */
export interface Claim {
  /** Two claims with a key in common are claims to the same thing. */
  readonly keys: readonly string[]
  /** As a sentence names the thing: “line 17 of gpiochip0”. */
  readonly thing: string
  /** Who lays claim to it, as a sentence names it: “the heater”, “Probe”. */
  readonly by: string
  readonly kind: 'vessel name' | 'instrument name' | 'appliance' | 'instrument' | 'topic'
  /** For an instrument: what it measures there, where that is known. */
  readonly quantity: string | null
  readonly file: 'vessel' | 'doors'
  /** Keys and positions that lead to its place in that file. */
  readonly path: readonly (string | number)[]
}

/** All claims of one vessel. Names of instruments stand for themselves within a vessel only. */
export function claimsOf(name: string, vessel: Vessel | null, doors: DoorSettings): readonly Claim[] {
  return [
    ...claimsOfNames(name, vessel),
    ...claimsOfAppliances(doors),
    ...claimsOfInstruments(doors.listen, vessel === null ? [] : listChannels(vessel)),
    ...claimsOfMappings(doors.mappings),
  ]
}

function claimsOfNames(name: string, vessel: Vessel | null): readonly Claim[] {
  const topic = (slug: string, by: string, kind: Claim['kind'], path: Claim['path']): Claim => ({
    keys: [`${kind} ${slug}`],
    thing: `the name ${slug} in topics and addresses`,
    by,
    kind,
    quantity: null,
    file: 'vessel',
    path,
  })
  return [
    topic(slugOf(name), name, 'vessel name', ['vessel']),
    ...(vessel?.instruments ?? []).map((instrument, at) =>
      topic(slugOf(instrument.name), instrument.name, 'instrument name', ['instruments', at, 'instrument']),
    ),
  ]
}

const APPLIANCES: readonly ApplianceName[] = ['heater', 'cooler', 'thermostat']

function claimsOfAppliances(doors: DoorSettings): readonly Claim[] {
  return APPLIANCES.flatMap((appliance): readonly Claim[] => {
    const wire = wireOf(doors[appliance])
    if (wire === null) return []
    const by = `the ${appliance}`
    return [{ ...wire, by, kind: 'appliance', quantity: null, file: 'doors', path: [appliance] }]
  })
}

type Wire = Pick<Claim, 'keys' | 'thing'>

/** null: nothing, or a topic that has the vessel's name in it. */
function wireOf(setting: ApplianceSetting | ThermostatSetting): Wire | null {
  switch (setting.kind) {
    case 'mqtt':
    case 'none':
      return null
    case 'http':
      return { keys: [`url ${plainUrl(setting.url)}`], thing: `the address ${setting.url}` }
    case 'gpio': {
      const { chip, line } = setting.line
      return { keys: [`gpio ${plainChip(chip)} ${line}`], thing: `line ${line} of ${chip}` }
    }
    case 'modbus': {
      const { coil } = setting.coil
      return {
        keys: [`${deviceOf(setting.coil)} coil ${coil}`],
        thing: `coil ${coil} of ${said(setting.coil)}`,
      }
    }
    case 'register': {
      const { register, type } = setting.register
      const keys = registersOf(register, type).map(each => `${deviceOf(setting.register)} holding ${each}`)
      return { keys, thing: `holding register ${register} of ${said(setting.register)}` }
    }
  }
}

function claimsOfInstruments(
  listen: DoorSettings['listen'],
  channels: readonly NumberedChannel[],
): readonly Claim[] {
  return Object.entries(listen).flatMap(([by, setting]): readonly Claim[] => {
    const listened = listenedChannel(by, setting.quantity, channels)
    const quantity = listened.ok ? listened.channel.channel.quantity : (setting.quantity ?? null)
    const common = { by, kind: 'instrument', quantity, file: 'doors', path: ['listen', by] } as const
    const probe: Claim = { ...common, ...probeOf(setting) }
    if (!listened.ok) return [probe]
    // Two ways to write one name would be two sources of one channel.
    const { number, instrument } = listened.channel
    const thing = `${quantity} of ${instrument.name}`
    return [probe, { ...common, kind: 'instrument name', keys: [`channel ${number}`], thing }]
  })
}

function probeOf(setting: ListenSetting): Wire {
  switch (setting.kind) {
    case 'one-wire':
      return { keys: [`one-wire ${setting.id}`], thing: `the 1-Wire probe ${setting.id}` }
    case 'hwmon':
      return { keys: [`hwmon ${setting.input}`], thing: `the input ${setting.input}` }
    case 'modbus': {
      const { kind, register, type } = setting.register
      const device = deviceOf(setting.register)
      return {
        keys: registersOf(register, type).map(each => `measured ${device} ${kind} ${each}`),
        thing: `${kind} register ${register} of ${said(setting.register)}`,
      }
    }
  }
}

function claimsOfMappings(mappings: DoorSettings['mappings']): readonly Claim[] {
  return Object.entries(mappings).flatMap(([by, { topic }]): readonly Claim[] =>
    topic === null
      ? []
      : [
          {
            keys: [`topic ${topic}`],
            thing: `the topic ${topic}`,
            by: `the mapping “${by}”`,
            kind: 'topic',
            quantity: null,
            file: 'doors',
            path: ['mappings', by, 'topic'],
          },
        ],
  )
}

interface Device {
  readonly host: string
  readonly port: number
  readonly unit: number
}

function deviceOf({ host, port, unit }: Device): string {
  return `modbus ${host.toLowerCase().replace(/\.$/, '')}:${port} unit ${unit}`
}

function said({ host, port, unit }: Device): string {
  return `unit ${unit} at ${host}:${port}`
}

function registersOf(first: number, type: string): readonly number[] {
  return type.endsWith('32') ? [first, first + 1] : [first]
}

/** A fragment never leaves this machine, and a slash at the end is nearly always the same place. */
function plainUrl(text: string): string {
  const url = URL.parse(text)
  if (url === null) return text
  return `${url.host}${url.pathname.replace(/\/+$/, '')}${url.search}`
}

/** gpiochip0, /dev/gpiochip0 and 0 are the same chip, and some boards have a second name for one. */
function plainChip(chip: string): string {
  const path = chip.startsWith('/') ? chip : `/dev/${/^\d+$/.test(chip) ? 'gpiochip' : ''}${chip}`
  try {
    return realpathSync(path)
  } catch {
    return path
  }
}
