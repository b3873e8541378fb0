import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { drawFor } from '@attemper/core/random/draw.ts'
import type { Fault } from '@attemper/core/world/faults/fault.ts'
import { AlarmError } from '@attemper/server/alarms/alarm-error.ts'
import { commandTopic, valueTopic } from '@attemper/server/doors/mqtt/topics.ts'
import type { Report } from '@attemper/server/doors/report.ts'
import type { BatchKeeper, Impulse } from '@attemper/server/live/batch-keeper.ts'
import { CellarError } from '@attemper/server/live/cellar.ts'
import { StoreError } from '@attemper/server/store/store-error.ts'
import { Broker } from './broker.ts'
import { CellarLife } from './cellar-life.ts'
import { Coil, type Contacts, type Device, LeasedDevice, PlainDevice } from './devices.ts'
import { Disk, Killed } from './disk.ts'
import { Draws } from './draws.ts'
import type { EventQueue } from './event-queue.ts'
import { Host } from './host.ts'
import type { InstrumentInPlace } from './instrument.ts'
import { Judges } from './judges.ts'
import { Ledger } from './ledger.ts'
import { KeeperWatch } from './observe-keepers.ts'
import type { Part } from './physical-vessel.ts'
import { Spot } from './spot.ts'
import type { Story } from './story.ts'
import { drawVessel, type VesselTexts } from './texts.ts'

const PARTS = ['heater', 'cooler'] as const

/** The whole house: garage, network, machine, disk and cellar, on one list of what is still to happen. */
export class House {
  readonly queue: EventQueue
  readonly host: Host
  readonly story: Story
  readonly disk: Disk
  readonly broker: Broker
  readonly spots: Spot[] = []
  readonly coils = new Map<number, Coil>()
  readonly ledger = new Ledger()
  readonly judges: Judges
  /** The present life of the cellar; null: it is down. */
  life: CellarLife | null = null
  /** When it was last started, true ms. */
  started_ms = 0
  hasPower = true
  /** Something of the cellar has run, so that promises may be waiting. */
  isStirred = false
  /** Of what was told before, the records may know nothing. */
  tornOnce = false
  /** The records have been damaged by something that is not the cellar: what it finds then may be wrong. */
  damaged = false
  /** Told of a vessel that was added later. */
  onTwin: (twin: Spot) => void = () => undefined
  readonly seed: number
  readonly #draws: Draws
  readonly #watch: KeeperWatch

  constructor(seed: number, queue: EventQueue, story: Story) {
    this.seed = seed
    this.queue = queue
    this.story = story
    this.#draws = new Draws(seed, 1)
    this.host = new Host(
      queue,
      () => {
        this.isStirred = true
      },
      error => this.ended(error),
    )
    this.broker = new Broker(queue, new Draws(seed, 2), story)
    this.judges = new Judges(this)
    this.broker.onHeard = line => this.judges.heard(line)
    this.disk = new Disk(
      this.#draws.chance(0.1),
      () => this.#killedInWrite(),
      (method, given) => this.ledger.written(method, given),
    )
    this.#watch = new KeeperWatch((keeper, impulse) => this.#observe(keeper, impulse))
  }

  /** Furnishes the garage, and starts the cellar for the first time. */
  open(): void {
    const count = this.#draws.pick([1, 2, 2, 3])
    for (let n = 0; n < count; n++) {
      const texts = drawVessel(`Fridge ${n + 1}`, 10 * (n + 1), this.#draws)
      this.addSpot(texts, texts.onCoils, 10 * (n + 1))
    }
    this.boot()
    for (const { texts } of this.spots)
      this.ask('adds a vessel', cellar => cellar.putVessel(texts.text, texts.doors, 'Kim'))
  }

  close(): void {
    this.#watch.stop()
    this.disk.close()
  }

  addSpot(texts: VesselTexts, onCoils: boolean, line: number): Spot {
    const spot = new Spot(texts, this.queue.now_ms, this.#draws)
    this.spots.push(spot)
    const isPlain = !onCoils && this.#draws.chance(0.2)
    PARTS.forEach((part, n) => {
      const contacts: Contacts = { switch: (on, why) => this.#switched(spot, part, on, why) }
      spot.devices.set(part, this.#deviceOf(spot, part, contacts, onCoils ? line + n : null, isPlain))
    })
    for (const instrument of spot.instruments) {
      this.queue.after(1000 * this.#draws.between(0, instrument.looks_s), () => this.#look(spot, instrument))
    }
    return spot
  }

  #deviceOf(spot: Spot, part: Part, contacts: Contacts, line: number | null, isPlain: boolean): Device {
    if (line !== null) {
      const coil = new Coil(contacts)
      this.coils.set(line, coil)
      return coil
    }
    const device = isPlain ? new PlainDevice(contacts) : new LeasedDevice(this.queue, contacts)
    spot.lines.set(part, this.broker.subscribe(commandTopic(spot.name, part), device))
    return device
  }

  // The cellar's lives.

  boot(): void {
    if (!this.hasPower || this.life !== null) return
    if (this.disk.isAway) {
      // The folder is not opened without its records (data-folder.ts); whoever supervises the process tries again.
      this.queue.after(60_000, () => this.boot())
      return
    }
    const life = ++this.host.life
    const isAlive = () => this.host.life === life
    this.started_ms = this.queue.now_ms
    this.isStirred = true
    for (const spot of this.spots) spot.keeper = null
    try {
      this.life = new CellarLife({
        host: this.host,
        store: this.disk.store(isAlive),
        isAlive,
        broker: this.broker,
        onCommand: (vessel, command) => {
          this.#watch.look()
          this.judges.command(vessel, command)
        },
        coil: number => this.coils.get(number) ?? null,
        tell: line => this.story.tell(line),
        onFault: fault => {
          if (!(fault instanceof Killed)) this.judges.survives(`a fault: ${sayError(fault)}`)
        },
        keeperOf: batch => this.#keeperOf(batch),
      })
    } catch (error) {
      if (error instanceof Killed) return
      // A start on a full disk is refused, and tried again by whoever supervises the process.
      const isExcused = error instanceof StoreError || this.disk.isFull
      this.judges.survives(isExcused ? null : `the cellar does not start: ${sayError(error)}`)
      this.kill()
      this.queue.after(60_000, () => this.boot())
    }
  }

  /** kill -9: nothing of this life has any effect from now on. */
  kill(): void {
    this.host.life++
    this.life = null
    for (const spot of this.spots) spot.keeper = null
    this.broker.cellarEnded()
  }

  restartAfter(wait_ms: number): void {
    this.kill()
    this.queue.after(wait_ms, () => this.boot())
  }

  /** The process has ended by itself: nobody has caught an error. */
  ended(error: unknown): void {
    if (error instanceof Killed) return
    this.judges.survives(`an error that nobody caught: ${sayError(error)}`)
    this.restartAfter(60_000)
  }

  #killedInWrite(): void {
    this.story.tell('the process is killed in a write')
    this.restartAfter(this.#draws.scale(5_000, 1_800_000))
  }

  /** Something that a person asks of the cellar; what can not be done is said with a CellarError. */
  ask<T>(what: string, request: (cellar: CellarLife['cellar'], life: CellarLife) => T): T | null {
    const { life } = this
    if (life === null) return null
    this.isStirred = true
    try {
      const answer = request(life.cellar, life)
      this.judges.survives(null)
      return answer
    } catch (error) {
      if (error instanceof Killed) return null
      this.story.tell(`${what}: ${error instanceof Error ? error.message.slice(0, 160) : String(error)}`)
      const isSaid =
        error instanceof CellarError || error instanceof StoreError || error instanceof AlarmError
      this.judges.survives(isSaid ? null : `a request (${what}) fails with a fault: ${sayError(error)}`)
      return null
    }
  }

  /** Whoever keeps a batch now; null: nobody, or it has ended. */
  #keeperOf(batch: string): BatchKeeper | null {
    const keeper = this.spots.find(each => each.keeper?.record.id === batch)?.keeper ?? null
    const isKept = keeper !== null && this.life?.cellar.batchIn(keeper.record.vessel) === batch
    return isKept ? keeper : null
  }

  // Beer.

  pitch(spot: Spot, beerText: string, faults: readonly Fault[]): void {
    if (spot.physical.physics !== null) return
    const beer = readBeer(beerText, 'beer').beer!
    spot.physical.pitch(
      beer,
      faults,
      drawFor(this.seed, 1000 + (Math.floor(this.queue.now_ms / 1000) % 1e6)),
      this.queue.now_ms,
    )
    spot.pitched_ms = this.queue.now_ms
  }

  /** Two vessels of the cellar that are one in the garage: what one is told, the other does. */
  addTwin(texts: VesselTexts, first: Spot): void {
    const twin = new Spot(texts, this.queue.now_ms, this.#draws, first.physical)
    for (const [part, device] of first.devices) twin.devices.set(part, device)
    for (const [part, line] of first.lines) twin.lines.set(part, line)
    this.spots.push(twin)
    for (const instrument of twin.instruments) {
      this.queue.after(1000 * this.#draws.between(0, instrument.looks_s), () => this.#look(twin, instrument))
    }
    this.onTwin(twin)
  }

  /** The medium spoils a text of the records, whoever wrote it. */
  damage(spot: Spot): void {
    this.disk.database
      .prepare('update batch set plan_text = substr(plan_text, 1, 40) || char(0) where id = ?')
      .run(spot.batch)
  }

  /** What has been written so far is safe from a cut of the power. */
  mark(): void {
    if (!this.disk.isFile) return
    this.disk.checkpoint()
    this.ledger.mark()
  }

  tear(share: number): number {
    this.tornOnce = true
    const lost = this.disk.tearTail(share)
    this.ledger.excuse(this.disk.peek())
    return lost
  }

  /** The batch is over. The vessel is emptied, unless another batch of the cellar is said to be in the same one. */
  empty(spot: Spot): void {
    spot.batch = null
    spot.keeper = null
    spot.wrongSince_ms.clear()
    const isShared = this.spots.some(({ physical, batch }) => physical === spot.physical && batch !== null)
    if (!isShared) spot.physical.empty()
  }

  // Instruments.

  #look(spot: Spot, instrument: InstrumentInPlace): void {
    const { queue } = this
    queue.after(1000 * instrument.looks_s, () => this.#look(spot, instrument))
    if (!this.hasPower) return
    const told = instrument.look(spot.physical, spot.name, queue.now_ms, this.host.now_ms(), this.#draws)
    if (told.length === 0) return
    const { mood } = instrument
    if (mood !== 'well') this.story.count(`readings ${mood}`)
    // One message for what is said at once.
    for (const reports of Map.groupBy(told, ({ wait_ms }) => wait_ms).values()) {
      queue.after(reports[0]!.wait_ms, () => {
        this.#deliver(
          spot,
          instrument,
          reports.map(({ report }) => report),
          mood === 'well',
        )
      })
    }
  }

  #deliver(spot: Spot, instrument: InstrumentInPlace, reports: readonly Report[], isGood: boolean): void {
    const { life } = this
    if (life === null || this.broker.isDown) return
    // Without a clock of its own, the cellar's counts when it hears.
    const stamped =
      instrument.ahead_ms === null && isGood
        ? reports.map(report => ({ ...report, at_ms: this.host.now_ms() }))
        : reports
    this.isStirred = true
    if (this.#draws.chance(0.05)) {
      this.host.run(() => this.#speak(life, stamped))
      return
    }
    const alive = this.host.life
    life.cellar.accept(stamped, 'campaign').then(
      ({ refused }) => {
        if (this.host.life !== alive) return
        const isRefused = new Set(refused.map(({ index }) => index))
        const taken = stamped.filter((_, index) => !isRefused.has(index))
        this.ledger.acknowledged(taken, this.queue.now_ms)
        if (isGood) this.#wasAcknowledged(spot, taken)
      },
      error => {
        if (!(error instanceof CellarError) && !(error instanceof Killed)) this.ended(error)
      },
    )
  }

  /** As text, through everything that a message goes through. */
  #speak(life: CellarLife, reports: readonly Report[]): void {
    for (const { vessel, instrument, quantity, value, at_ms } of reports) {
      const text = this.#draws.chance(0.5) ? JSON.stringify({ value, at: at_ms / 1000 }) : `${value}`
      const heard = life.ear.hear(valueTopic(vessel, instrument, quantity), new TextEncoder().encode(text))
      heard.catch(error => {
        if (!(error instanceof CellarError) && !(error instanceof Killed)) this.ended(error)
      })
    }
  }

  #wasAcknowledged(spot: Spot, reports: readonly Report[]): void {
    if (!reports.some(({ quantity }) => quantity === 'beer')) return
    if (spot.unheard === 0) spot.unheardSince_ms = this.queue.now_ms
    spot.unheard++
  }

  #observe(keeper: BatchKeeper, { readings = [] }: Impulse): void {
    const spot = this.spots.find(({ name }) => name === keeper.record.vessel)
    if (spot === undefined) return
    spot.keeper = keeper
    const { state } = keeper
    const { program } = keeper.case
    for (const { channel, at_s } of readings) {
      if (state.channels[channel]!.at_s === Math.min(at_s, state.now_s!))
        spot.heard_ms.set(channel, this.queue.now_ms)
    }
    const inCharge = state.inCharge[program.beer] ?? -1
    const heard_ms = spot.heard_ms.get(inCharge) ?? Number.NEGATIVE_INFINITY
    if (heard_ms <= spot.believed_ms && readings.every(({ channel }) => channel !== inCharge)) return
    spot.believed_ms = Math.max(spot.believed_ms, heard_ms)
    spot.unheard = 0
  }

  #switched(spot: Spot, part: Part, on: boolean, why: Parameters<Contacts['switch']>[1]): void {
    const before = { ...spot.physical[part] }
    spot.physical.switch(part, on, why, this.queue.now_ms)
    this.judges.switched(spot, part, on, before)
  }
}

export function sayError(error: unknown): string {
  return error instanceof Error
    ? (error.stack ?? error.message).split('\n').slice(0, 6).join(' | ')
    : String(error)
}
