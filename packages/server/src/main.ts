import type { AlarmCode } from '@attemper/core/alarms/catalogue.ts'
import type { AlarmChange } from './alarms/alarm-change.ts'
import { openAlarms } from './alarms/alarm-keeper.ts'
import { databaseIn } from './data-folder.ts'
import { vesselAppliances } from './doors/appliance/vessel-appliances.ts'
import { readDoorSettings, USUAL_DOORS } from './doors/door-settings.ts'
import { embeddedBroker } from './doors/mqtt/embedded-broker.ts'
import { nameBook } from './doors/name-book.ts'
import { FolderInUse, lockFolder } from './folder-lock.ts'
import { type AccessSettings, openAccess } from './http/access/access.ts'
import { AccessError, requireSafeBinding } from './http/access/binding.ts'
import { httpServer } from './http/http-server.ts'
import type { Cellar } from './live/cellar.ts'
import { openCellar } from './live/open-cellar.ts'
import { timersOf } from './live/timers.ts'
import type { TroubleCode } from './live/trouble.ts'
import { placeOf, watchBatches } from './start/batch-alarms.ts'
import { ClockError, folderClock } from './start/folder-clock.ts'
import { httpDecode } from './start/http-decode.ts'
import { mqttAccess } from './start/mqtt-access.ts'
import { mqttFigures } from './start/mqtt-figures.ts'
import { keepSealing } from './start/sealing.ts'
import { openSqliteStore } from './store/sqlite/open.ts'
import { StoreError } from './store/store-error.ts'

export interface CellarOptions {
  readonly dataDir: string
  /** What both doors are bound to. Anything but loopback needs a password (http/access/binding.ts). */
  readonly host: string
  /** 0: any that is free. */
  readonly port: number
  readonly mqttPort: number
  /** How many cellar seconds pass in a real one; 1 but for demonstrations and tests. */
  readonly speed?: number
  /** Texts of certificate and key (PEM). */
  readonly tls?: NonNullable<AccessSettings['tls']>
  readonly localOffset_s?: number
  readonly log: (line: string) => void
}

export interface RunningCellar {
  /** http://127.0.0.1:1050 */
  readonly url: string
  /** mqtt://127.0.0.1:1883 */
  readonly mqttUrl: string
  /** The parts themselves, for a demonstration in the same process. */
  readonly cellar: Cellar
  /** Writes everything down and lets the folder go. What is on stays on until its lease lapses. */
  close(): Promise<void>
}

/** A port that can not be listened on; `message` says why, and what would be right. */
export class PortError extends Error {
  override readonly name = 'PortError'
}

/**
 * Starts a cellar: the one place that builds all parts and joins them. What it refuses is told
 * by `isRefusal`; what was open already has been closed again then.
 */
export async function startCellar(options: CellarOptions): Promise<RunningCellar> {
  const { dataDir, host, log } = options
  const closing: (() => void | Promise<void>)[] = []
  const close = async () => {
    for (const each of closing.splice(0).reverse()) await each()
  }
  try {
    const lock = lockFolder(dataDir, `process ${process.pid}`)
    closing.push(() => lock.release())
    const store = openSqliteStore(databaseIn(dataDir))
    closing.push(() => store.close())
    const clock = folderClock(store, options.speed ?? 1, Date.now())
    const timers = timersOf(clock)
    const { tls } = options
    const access = openAccess(store, clock, {
      host,
      port: options.port,
      ...(tls === undefined ? {} : { tls }),
    })
    requireSafeBinding(host, access)

    const notify = (changes: readonly AlarmChange[]) => {
      for (const { change, alarm } of changes) {
        const where = alarm.place === null ? '' : `${alarm.place.name} in ${alarm.place.vessel}: `
        if (change === 'raised') log(`Alarm ${alarm.id}: ${where}${alarm.sentence}`)
      }
    }
    const alarms = openAlarms({ store, clock, timers, notify, onTrouble: (_, message) => log(message) })
    closing.push(() => alarms.close())

    // The broker must be there before the cellar can command anything, and the cellar before a reading can be taken in.
    const opened = Promise.withResolvers<Cellar>()
    const mqtt = await orPortError(
      embeddedBroker({
        clock,
        intake: { accept: async (reports, door) => (await opened.promise).accept(reports, door) },
        vessels: () => store.vessels(),
        host,
        port: options.mqttPort,
        ...(access.open ? {} : { authenticate: mqttAccess(access) }),
        ...(tls === undefined ? {} : { tls }),
      }),
      'MQTT',
      options.mqttPort,
      '--mqtt-port',
    )
    closing.push(() => mqtt.close())

    const onTrouble = (code: TroubleCode, message: string, batch: string | null) => {
      const alarm = ALARM_OF[code]
      if (alarm === undefined) return
      const record = batch === null ? null : store.batch(batch)
      const place = record === null ? null : placeOf(record)
      // A door's trouble begins with the appliance that it is about, and so does its end.
      const subject = /^The (?:heater|cooler)/.exec(message)?.[0] ?? ''
      alarms.report({ code: alarm.code, subject, place }, alarm.isOver ? null : message)
    }
    const cellar = openCellar({
      store,
      clock,
      timers,
      doorFor: vessel => {
        const { settings } = readDoorSettings(vessel.doors, vessel.name)
        return vesselAppliances(vessel.name, settings ?? USUAL_DOORS, mqtt, clock)
      },
      ...(options.localOffset_s === undefined ? {} : { localOffset_s: options.localOffset_s }),
      log,
      onTrouble,
    })
    closing.push(() => cellar.close())
    opened.resolve(cellar)
    closing.push(watchBatches(cellar, alarms))
    closing.push(keepSealing(store, clock, fault => log(`Readings could not be packed: ${String(fault)}`)))

    const http = httpServer({
      cellar,
      store,
      clock,
      access,
      decode: httpDecode(
        () => cellar.vessels(),
        nameBook(() => cellar.vessels()),
      ),
      figures: () => mqttFigures(mqtt),
      onFault: fault =>
        log(`A fault of the cellar itself: ${fault instanceof Error ? fault.stack : String(fault)}`),
    })
    closing.push(() => http.close())
    const address = await orPortError(
      http.listen({ host, port: options.port }),
      'HTTP',
      options.port,
      '--port',
    )
    const { hostname } = new URL(address)
    return {
      url: address,
      mqttUrl: `${tls === undefined ? 'mqtt' : 'mqtts'}://${hostname}:${mqtt.port}`,
      cellar,
      close,
    }
  } catch (error) {
    await close()
    throw error
  }
}

/** Whether a start was refused for a reason that the message tells, together with what would be right. */
export function isRefusal(error: unknown): error is Error {
  return [FolderInUse, StoreError, ClockError, AccessError, PortError].some(kind => error instanceof kind)
}

/** The alarm that a trouble of the machinery raises, or ends. */
const ALARM_OF: Partial<Record<TroubleCode, { readonly code: AlarmCode; readonly isOver?: boolean }>> = {
  storage: { code: 'storage-trouble' },
  'storage-back': { code: 'storage-trouble', isOver: true },
  door: { code: 'appliance-unreachable' },
  'door-back': { code: 'appliance-unreachable', isOver: true },
}

async function orPortError<T>(listening: Promise<T>, what: string, port: number, option: string): Promise<T> {
  try {
    return await listening
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EADDRINUSE') {
      throw new PortError(
        `Port ${port}, for ${what}, is taken by another program, perhaps another cellar. Stop that, or choose another with ${option}.`,
      )
    }
    if (code === 'EACCES') {
      throw new PortError(
        `Port ${port}, for ${what}, may not be used by you: choose one above 1023 with ${option}.`,
      )
    }
    if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND' || code === 'EAI_AGAIN') {
      throw new PortError(`The address to listen on is not one of this machine (${code}): see --host.`)
    }
    throw error
  }
}
