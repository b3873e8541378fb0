import { readFileSync } from 'node:fs'
import type { Store, VesselRecord } from '../../store/store.ts'
import type { Cellar, StartRequest } from '../cellar.ts'
import { openCellar } from '../open-cellar.ts'
import { ManualTime } from './manual-time.ts'
import { MemoryStore } from './memory-store.ts'
import { RecordingDoor } from './recording-door.ts'

export const example = (name: string) =>
  readFileSync(new URL(`../../../../../examples/${name}`, import.meta.url), 'utf8')

/** The garage fridge of the examples, with probes that report once a minute so that tests are short. */
export const FRIDGE = example('garage-fridge.vessel.yaml').replaceAll('every: 5 s', 'every: 60 s')
export const AMBER_ALE = example('amber-ale.plan.yaml')
export const AMBER_BEER = example('amber-ale.beer.yaml')
export const VESSEL = 'Garage fridge'
/** 2026-12-04T18:00 UTC, when the beer of the example is pitched. */
export const START_S = Date.UTC(2026, 11, 4, 18) / 1000

export const AMBER: StartRequest = { vessel: VESSEL, planText: AMBER_ALE, beerText: AMBER_BEER }

/** A cellar whose time, records and appliances are in the hands of the test. */
export class SmallCellar<S extends Store = MemoryStore> {
  readonly store: S
  readonly time: ManualTime
  readonly doors = new Map<string, RecordingDoor>()
  readonly troubles: string[] = []
  readonly cellar: Cellar

  constructor(store: S, time = new ManualTime(START_S * 1000)) {
    this.store = store
    this.time = time
    this.cellar = openCellar({
      store,
      clock: time,
      timers: time,
      doorFor: vessel => this.doorOf(vessel),
      log: () => undefined,
      onTrouble: ({ kind }) => this.troubles.push(kind),
    })
  }

  door(vessel = VESSEL): RecordingDoor {
    const known = this.doors.get(vessel)
    if (known) return known
    const door = new RecordingDoor()
    this.doors.set(vessel, door)
    return door
  }

  get now_s(): number {
    return this.time.now_ms() / 1000
  }

  addVessel(text = FRIDGE): void {
    this.cellar.putVessel(text, '{}', 'Test')
  }

  start(request: StartRequest = AMBER): string {
    const { batch, findings } = this.cellar.startBatch(request, 'Test')
    if (batch === null) throw new Error(`not started: ${JSON.stringify(findings)}`)
    return batch
  }

  /** One reading of each, now; names as 'Probe.beer'. */
  async hear(values: Record<string, number>, vessel = VESSEL): Promise<void> {
    const reports = Object.entries(values).map(([name, value]) => {
      const [instrument = '', quantity = ''] = name.split('.')
      return { vessel, instrument, quantity, value, at_ms: this.time.now_ms(), status: 'good' as const }
    })
    await this.cellar.accept(reports, 'test')
  }

  /** One reading of each now, and the same a minute ago: enough to be believed. */
  async hearTwice(values: Record<string, number>, vessel = VESSEL): Promise<void> {
    const now_ms = this.time.now_ms()
    const reports = Object.entries(values).map(([name, value]) => {
      const [instrument = '', quantity = ''] = name.split('.')
      return { vessel, instrument, quantity, value, at_ms: now_ms - 60_000, status: 'good' as const }
    })
    await this.cellar.accept(reports, 'test')
    await this.hear(values, vessel)
  }

  /** Hears the same once a minute, for so many minutes. */
  async keepHearing(minutes: number, values: Record<string, number>, vessel = VESSEL): Promise<void> {
    for (let minute = 0; minute < minutes; minute++) {
      this.time.moveTo(this.time.now_ms() + 60_000)
      await this.hear(values, vessel)
    }
  }

  /** What the journal holds of a batch, by kind. */
  kinds(batch: string): readonly string[] {
    return this.store
      .journal(batch)
      .map(entry => (entry.kind === 'decision' ? `decision: ${entry.event.kind}` : entry.kind))
  }

  private doorOf({ name }: VesselRecord): RecordingDoor {
    return this.door(name)
  }
}

export function smallCellar(): SmallCellar {
  return new SmallCellar(new MemoryStore())
}
