import { openAlarms } from './alarms/alarm-keeper.ts'
import { openRecords } from './data-folder.ts'
import { DemoBeside } from './demo/demo-beside.ts'
import { startDemo } from './demo/demo-cellar.ts'
import { vesselAppliances } from './doors/appliance/vessel-appliances.ts'
import { cellarDecode } from './doors/cellar-decode.ts'
import { checkVessel } from './doors/claims/check-vessel.ts'
import { harmfulClashes } from './doors/claims/harmful-clashes.ts'
import { doorAddresses } from './doors/door-addresses.ts'
import { doorsSchema, readDoorSettings, USUAL_DOORS } from './doors/door-settings.ts'
import { HeardMessages } from './doors/heard-messages.ts'
import { probeFinder } from './doors/kernel/find-probes.ts'
import { KernelFiles } from './doors/kernel/kernel-file.ts'
import { embeddedBroker } from './doors/mqtt/embedded-broker.ts'
import type { MqttDoorParts } from './doors/mqtt/mqtt-door.ts'
import { pollVessels } from './doors/polled/poll-vessels.ts'
import { tryMapping } from './doors/try-mapping.ts'
import { FolderInUse, lockFolder } from './folder-lock.ts'
import { type AccessSettings, openAccess } from './http/access/access.ts'
import { AccessError, requireSafeBinding } from './http/access/binding.ts'
import { outsideOf } from './http/access/outside.ts'
import { httpServer } from './http/http-server.ts'
import type { Cellar } from './live/cellar.ts'
import { openCellar } from './live/open-cellar.ts'
import { timersOf } from './live/timers.ts'
import type { OnTrouble } from './live/trouble.ts'
import { openNotifier } from './notify/notifier.ts'
import { keepRule } from './retention/keep-rule.ts'
import { applianceReach } from './start/appliance-reach.ts'
import { placeIn, watchBatches } from './start/batch-alarms.ts'
import { type BrewersBroker, brewersBroker } from './start/brewers-broker.ts'
import { diskProblem, freeOn } from './start/disk-space.ts'
import { ClockError, type FolderClock, folderClock } from './start/folder-clock.ts'
import { forecaster } from './start/forecast.ts'
import { houseFigures } from './start/house-figures.ts'
import { noteBackup } from './start/last-backup.ts'
import { watchLateness } from './start/lateness.ts'
import { orPortError, PortError } from './start/listening.ts'
import { logTo } from './start/log.ts'
import { mqttAccess } from './start/mqtt-access.ts'
import { mqttFigures } from './start/mqtt-figures.ts'
import { screensFolder } from './start/screens-folder.ts'
import { keepSealing } from './start/sealing.ts'
import { TroubleAlarms } from './start/trouble-alarms.ts'
import { watchRecords } from './start/watch-records.ts'
import { StoreError } from './store/store-error.ts'

export interface CellarOptions {
  readonly dataDir: string
  /** What both doors are bound to. Anything but loopback needs a password (http/access/binding.ts). */
  readonly host: string
  /** 0: any that is free. */
  readonly port: number
  readonly mqttPort: number
  /** A broker of the brewer's own. Left out: the cellar opens one. */
  readonly broker?: BrewersBroker
  /** How many cellar seconds pass in a real one; 1 but for demonstrations and tests. */
  readonly speed?: number
  /** Sets up three simulated vessels with their batches, each a program of its own. Only with the cellar's own broker. */
  readonly demo?: boolean
  /** How it is reached through a proxy; what is left out is as at the start before. */
  readonly outside?: { readonly address?: string; readonly proxies?: readonly string[] }
  /** Texts of certificate and key (PEM). */
  readonly tls?: NonNullable<AccessSettings['tls']>
  /** The folder of the built screens. Left out: those of the package @attemper/web, if it is there. */
  readonly screensDir?: string
  /** Told of each line, which begins with its time and its level. */
  readonly log: (line: string) => void
}

export interface RunningCellar {
  /** http://127.0.0.1:1050 */
  readonly url: string
  /** mqtt://127.0.0.1:1883, or the brewer's own broker. */
  readonly mqttUrl: string
  readonly cellar: Cellar
  readonly clock: FolderClock
  /** Writes everything down and lets the folder go. What keeps a lease by itself stays on until that lapses. */
  close(): Promise<void>
}

/**
 * Starts a cellar: the one place that builds all parts and joins them. What it refuses is told by `isRefusal`; what was
 * open already has been closed again then.
 */
export async function startCellar(options: CellarOptions): Promise<RunningCellar> {
  const { dataDir, host, tls, screensDir = screensFolder() } = options
  const log = logTo(options.log, Date.now)
  const closing: (() => void | Promise<void>)[] = []
  const close = async () => {
    for (const each of closing.splice(0).reverse()) await each()
  }
  try {
    const lock = lockFolder(dataDir, `process ${process.pid}`)
    closing.push(() => lock.release())
    for (const opening of lock.openings) log(opening, 'warning')
    const { store, damage } = openRecords(dataDir)
    closing.push(() => store.close())
    for (const fault of damage) log(`${fault} Charts of the past may have holes. ${DAMAGE_CURE}`, 'error')
    const clock = folderClock(store, options.speed ?? 1, Date.now())
    const onFault = (fault: unknown) =>
      log(`A fault of the cellar itself: ${fault instanceof Error ? fault.stack : String(fault)}`, 'error')
    const timers = timersOf(clock, onFault)
    const access = openAccess(store, clock, {
      host,
      port: options.port,
      outside: outsideOf(store, options.outside ?? {}),
      ...(tls === undefined ? {} : { tls }),
    })
    requireSafeBinding(host, access)

    // The broker must be there before the cellar can command anything, and the cellar before a reading can be taken in.
    const opened = Promise.withResolvers<Cellar>()
    const heard = new HeardMessages(clock)
    let lostBroker: string | null = null
    // The alarms are told through the broker, so they come after it.
    let reportBroker: (problem: string | null) => void = () => undefined
    const onReach = (problem: string | null) => {
      lostBroker = problem
      log(
        problem === null
          ? 'The MQTT broker can be used again.'
          : `The MQTT broker can not be used (${problem}). It is tried again and again.`,
        problem === null ? 'info' : 'warning',
      )
      reportBroker(problem)
    }
    const ears: MqttDoorParts = {
      clock,
      intake: { accept: async (reports, door) => (await opened.promise).accept(reports, door) },
      vessels: () => store.vessels(),
      onHeard: message => heard.hear(message),
    }
    const { broker } = options
    const mqtt = await (broker !== undefined
      ? brewersBroker(broker, ears, store, onReach)
      : orPortError(
          embeddedBroker({
            ...ears,
            host,
            port: options.mqttPort,
            ...(access.open ? {} : { authenticate: mqttAccess(access) }),
            ...(tls === undefined ? {} : { tls }),
          }),
          { door: 'MQTT', port: options.mqttPort, option: '--mqtt-port' },
        ))
    closing.push(() => mqtt.close())
    closing.push(access.revocations.listen(() => mqtt.lookAgain()))

    const notifier = openNotifier({
      store,
      clock,
      timers,
      localOffset_s,
      publish: async (topic, text) => {
        const problem = await mqtt.publish(topic, text)
        if (problem !== null) throw new Error(problem)
      },
      onTrouble: trouble => onTrouble(trouble),
    })
    closing.push(() => notifier.close())
    const alarms = openAlarms({
      store,
      clock,
      timers,
      notify: changes => {
        for (const { change, alarm } of changes) {
          const where = alarm.place === null ? '' : `${alarm.place.name} in ${alarm.place.vessel}: `
          if (change === 'raised') log(`Alarm ${alarm.id}: ${where}${alarm.sentence}`, 'warning')
        }
        notifier.notify(changes)
      },
      onTrouble: trouble => onTrouble(trouble),
    })
    closing.push(() => alarms.close())
    reportBroker = problem => alarms.report({ code: 'broker-unreachable', subject: '' }, problem)
    if (lostBroker !== null) reportBroker(lostBroker)
    notifier.watchChannels((subject, problem) => alarms.report({ code: 'channel-failed', subject }, problem))
    const troubleAlarms = new TroubleAlarms()
    const onTrouble: OnTrouble = trouble => {
      const report = troubleAlarms.reportOf(trouble)
      if (report === null) return
      alarms.report({ ...report, place: placeIn(store, report.batch) }, report.detail)
    }

    const decisions = watchLateness(timers, clock)
    const cellar = openCellar({
      store,
      clock,
      timers: decisions,
      doorFor: vessel => {
        const { settings } = readDoorSettings(vessel.doors, vessel.name)
        return vesselAppliances(vessel.name, settings ?? USUAL_DOORS, mqtt, clock)
      },
      checkVessel,
      clashes: harmfulClashes,
      localOffset_s: localOffset_s(clock.now_ms()),
      log,
      onTrouble,
      alarms: {
        of: batch => alarms.list().filter(({ place }) => place === null || place.batch === batch),
        onChange: listener => alarms.onChange(({ alarm }) => listener(alarm.place?.batch ?? null)),
      },
    })
    closing.push(() => cellar.close())
    opened.resolve(cellar)
    closing.push(watchBatches(cellar, alarms, onFault))
    closing.push(watchRecords({ store, damage, clock, timers, onTrouble }))
    closing.push(pollVessels({ vessels: () => cellar.vessels(), intake: cellar, clock, timers, log }))
    const retention = keepRule({
      store,
      clock,
      onFault: fault => log(`Old readings could not be removed: ${String(fault)}`, 'warning'),
    })
    closing.push(() => retention.stop())
    closing.push(
      keepSealing(store, clock, fault => log(`Readings could not be packed: ${String(fault)}`, 'warning')),
    )

    const beside = new DemoBeside()
    closing.push(() => beside.stop())
    const http = httpServer({
      cellar,
      store,
      clock,
      access,
      alarms,
      notifier,
      decode: cellarDecode(() => cellar.vessels()),
      forecast: forecaster(store),
      appliances: vessel => applianceReach(vessel, mqtt, alarms),
      copyFolder: dataDir,
      onNewRetention: () => retention.hurry(),
      storageProblem: () => diskProblem(dataDir),
      localOffset_s,
      onBackup: () => noteBackup(store, clock.now_ms()),
      figures: () => [
        ...mqttFigures(mqtt),
        ...houseFigures({ ...{ store, clock, alarms }, free_B: () => freeOn(dataDir), ...decisions }),
      ],
      ...(access.open ? { demo: beside } : {}),
      doors: {
        heard,
        tryMapping: trial => tryMapping(trial, cellar.vessels(), clock.now_ms()),
        findProbes: probeFinder(new KernelFiles('/')),
        check: (text, doors) => checkVessel(text, doors, cellar.vessels()),
        schema: doorsSchema,
        addresses: vessel => doorAddresses(vessel, { port: mqtt.port, broker: broker?.url ?? null }),
      },
      ...(screensDir === undefined ? {} : { screensDir }),
      onFault,
    })
    closing.push(() => http.close())
    const url = await orPortError(http.listen({ host, port: options.port }), {
      door: 'HTTP',
      port: options.port,
      option: '--port',
    })
    const { hostname } = new URL(url)
    if (options.demo && mqtt.port !== null) {
      const broker = { host: hostname, port: mqtt.port }
      const { origin_ms, realOrigin_ms, speed } = clock
      const demo = await startDemo({ http: url, broker, clock: { origin_ms, realOrigin_ms, speed } })
      closing.push(() => demo.stop())
    }
    const mqttUrl = broker?.url ?? `${tls === undefined ? 'mqtt' : 'mqtts'}://${hostname}:${mqtt.port}`
    return { url, mqttUrl, cellar, clock, close }
  } catch (error) {
    await close()
    throw error
  }
}

const DAMAGE_CURE =
  'Look at the disk; “attemper verify” says all that is wrong, and a backup can be restored.'

/** What the wall clock of this place is ahead of UTC. */
function localOffset_s(at_ms: number): number {
  return -new Date(at_ms).getTimezoneOffset() * 60
}

/** Whether a start was refused for a reason that the message tells, together with what would be right. */
export function isRefusal(error: unknown): error is Error {
  return [FolderInUse, StoreError, ClockError, AccessError, PortError].some(kind => error instanceof kind)
}
