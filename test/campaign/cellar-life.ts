import type { Command } from '@attemper/core/engine/contract.ts'
import { type AlarmKeeper, openAlarms } from '@attemper/server/alarms/alarm-keeper.ts'
import { leasedSwitch } from '@attemper/server/doors/appliance/leased-switch.ts'
import { type ApplianceBroker, mqttAppliance } from '@attemper/server/doors/appliance/mqtt-appliance.ts'
import { NO_APPLIANCE } from '@attemper/server/doors/appliance/vessel-appliances.ts'
import type { ApplianceDoor } from '@attemper/server/doors/appliance-door.ts'
import { checkVessel } from '@attemper/server/doors/claims/check-vessel.ts'
import { harmfulClashes } from '@attemper/server/doors/claims/harmful-clashes.ts'
import { type ApplianceSetting, readDoorSettings, USUAL_DOORS } from '@attemper/server/doors/door-settings.ts'
import { Ear } from '@attemper/server/doors/mqtt/ear.ts'
import type { BrokerNews } from '@attemper/server/doors/mqtt/mqtt-door.ts'
import { RefusedTopic } from '@attemper/server/doors/mqtt/refused.ts'
import type { BatchKeeper } from '@attemper/server/live/batch-keeper.ts'
import type { Cellar } from '@attemper/server/live/cellar.ts'
import { openCellar } from '@attemper/server/live/open-cellar.ts'
import { timersOf } from '@attemper/server/live/timers.ts'
import type { OnTrouble } from '@attemper/server/live/trouble.ts'
import { placeIn, watchBatches } from '@attemper/server/start/batch-alarms.ts'
import { TroubleAlarms } from '@attemper/server/start/trouble-alarms.ts'
import type { Store, VesselRecord } from '@attemper/server/store/store.ts'
import type { Broker } from './broker.ts'
import type { Coil } from './devices.ts'
import type { Host } from './host.ts'

export interface LifeParts {
  readonly host: Host
  readonly store: Store
  readonly isAlive: () => boolean
  readonly broker: Broker
  /** Told of each command before it goes out. */
  readonly onCommand: (vessel: string, command: Command) => void
  readonly coil: (number: number) => Coil | null
  readonly tell: (line: string) => void
  /** Told of a fault that was caught at the last moment. */
  readonly onFault: (fault: unknown) => void
  readonly keeperOf: (batch: string) => BatchKeeper | null
}

/** One life of the cellar, from its start to its end: joined as main.ts joins it, with the doors that this house has. */
export class CellarLife {
  readonly cellar: Cellar
  readonly alarms: AlarmKeeper
  readonly ear: Ear
  readonly store: Store
  readonly #parts: LifeParts

  constructor(parts: LifeParts) {
    this.#parts = parts
    const { host, store, tell, onFault } = parts
    this.store = store
    const timers = timersOf(host, onFault)
    const troubleAlarms = new TroubleAlarms()
    const onTrouble: OnTrouble = trouble => {
      const report = troubleAlarms.reportOf(trouble)
      if (report === null) return
      this.alarms.report({ ...report, place: placeIn(store, report.batch) }, report.detail)
    }
    this.alarms = openAlarms({
      store,
      clock: host,
      timers,
      notify: changes => {
        for (const { change, alarm } of changes)
          tell(`alarm ${change}: ${alarm.place?.batch ?? 'cellar'}, ${alarm.code} ${alarm.subject}`)
      },
      onTrouble,
    })
    this.cellar = openCellar({
      store,
      clock: host,
      timers,
      doorFor: vessel => this.#doorFor(vessel),
      checkVessel,
      clashes: harmfulClashes,
      localOffset_s: 3600,
      log: line => tell(`log: ${line}`),
      onTrouble,
      alarms: {
        of: batch => this.alarms.list().filter(({ place }) => place === null || place.batch === batch),
        onChange: listener => this.alarms.onChange(({ alarm }) => listener(alarm.place?.batch ?? null)),
      },
    })
    watchBatches(quickLooks(this.cellar, parts), this.alarms, onFault)
    this.ear = new Ear({
      clock: host,
      intake: this.cellar,
      vessels: () => store.vessels(),
      refused: new RefusedTopic(host, () => undefined),
    })
  }

  #doorFor({ name, doors }: VesselRecord): ApplianceDoor {
    const { host, broker, isAlive, onCommand } = this.#parts
    const settings = readDoorSettings(doors, name).settings ?? USUAL_DOORS
    const mqtt: ApplianceBroker = {
      publish: async (topic, text, options = {}) =>
        isAlive() ? broker.publish(topic, text, options.retain === true) : 'the process has ended',
      listening: topic => broker.listening(topic),
      onAppliance: listener => {
        const watcher = (news: BrokerNews) => host.run(() => listener(news))
        broker.watchers.add(watcher)
        return () => broker.watchers.delete(watcher)
      },
    }
    const doorOf = (appliance: 'heater' | 'cooler') =>
      this.#doorOf(settings[appliance], mqttAppliance(name, appliance, mqtt, host))
    const of = { heater: doorOf('heater'), cooler: doorOf('cooler'), thermostat: NO_APPLIANCE }
    return {
      send: command => {
        if (isAlive()) onCommand(name, command)
        return of[command.appliance].send(command)
      },
      listen: listener => {
        const stops = Object.values(of).map(door => door.listen?.(listener))
        return () => {
          for (const stop of stops) stop?.()
        }
      },
      switches: appliance => settings[appliance].kind !== 'none',
      mustAsk: appliance => of[appliance].mustAsk?.(appliance) ?? false,
      close: async () => {
        await of.heater.close()
        await of.cooler.close()
      },
    }
  }

  #doorOf(setting: ApplianceSetting, mqtt: ApplianceDoor): ApplianceDoor {
    if (setting.kind === 'mqtt') return mqtt
    if (setting.kind !== 'modbus') return NO_APPLIANCE
    const { host, coil, isAlive, onFault } = this.#parts
    const { coil: number } = setting.coil
    const device = {
      called: `coil ${number}`,
      set: async (on: boolean) => {
        if (isAlive()) coil(number)?.set(on)
      },
      close: async () => undefined,
    }
    return leasedSwitch(device, host, timersOf(host, onFault))
  }
}

/**
 * The same cellar, but whoever only asks for the state of a batch gets no sentences with it: most of the time of a campaign
 * would go into these. A batch that nobody keeps is looked at as ever.
 */
function quickLooks(cellar: Cellar, { keeperOf, store }: LifeParts): Cellar {
  const view = (batch: string) => {
    const keeper = keeperOf(batch)
    if (keeper !== null) return { batch: keeper.record, state: keeper.state }
    const record = store.batch(batch)
    return record === null || record.ended_ms === null ? cellar.view(batch) : { batch: record, state: null }
  }
  return new Proxy(cellar, {
    get(target, name) {
      if (name === 'view') return view
      const value: unknown = Reflect.get(target, name, target)
      return typeof value === 'function' ? value.bind(target) : value
    },
  })
}
