import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { silenceAllowed_s } from '@attemper/core/vessel/timeout.ts'
import type { BatchKeeper } from '@attemper/server/live/batch-keeper.ts'
import type { Line } from './broker.ts'
import type { Device } from './devices.ts'
import type { Draws } from './draws.ts'
import { InstrumentInPlace } from './instrument.ts'
import { type Part, PhysicalVessel } from './physical-vessel.ts'
import type { VesselTexts } from './texts.ts'

/** One place in the garage: a vessel with its instruments and devices, and what is known from outside about its batch. */
export class Spot {
  readonly texts: VesselTexts
  /** Another spot of the cellar stands for the same vessel in the garage. */
  readonly isTwin: boolean
  readonly physical: PhysicalVessel
  readonly instruments: readonly InstrumentInPlace[]
  readonly devices = new Map<Part, Device>()
  readonly lines = new Map<Part, Line>()
  /** The longest silence of a thermometer after which it should no longer be believed. */
  readonly silence_s: number
  /** The batch that people know to be in it; null: none. */
  batch: string | null = null
  pitched_ms = 0
  /** The keeper that was last heard of, in this life of the cellar. */
  keeper: BatchKeeper | null = null
  /** When the temperature that is believed was last told by an instrument, true ms. */
  believed_ms = Number.NEGATIVE_INFINITY
  /** The same of each channel, believed or not. */
  readonly heard_ms = new Map<number, number>()
  /** Good readings of the beer that were acknowledged since then, and when the first of them was. */
  unheard = 0
  unheardSince_ms = 0
  /** When hardware last was broken in a way that no software can mend. */
  broken_ms = Number.NEGATIVE_INFINITY
  /** When the wire to its coils was last cut. */
  coilCut_ms = Number.NEGATIVE_INFINITY
  /** Until when one of its devices may take a good command for one that is over. */
  clockWrong_ms = Number.NEGATIVE_INFINITY
  /** How long the latest "off" of the cooler was on its way. */
  lastOffLate_ms = 0
  /** Since when an appliance has driven the beer on beyond its limits; null: none does. */
  drivenSince_ms: number | null = null
  /** Since when 'all is well' has been said although it was not, by reason. */
  readonly wrongSince_ms = new Map<string, number>()

  /** `of`: the vessel in the garage, when another spot of the cellar stands for the same one. */
  constructor(texts: VesselTexts, now_ms: number, draws: Draws, of?: PhysicalVessel) {
    this.texts = texts
    this.isTwin = of !== undefined
    const vessel = readVessel(texts.text, texts.name).vessel!
    this.physical = of ?? new PhysicalVessel(vessel, now_ms)
    this.instruments = vessel.instruments.map(
      each =>
        new InstrumentInPlace(
          each,
          this.physical,
          each.name === 'Float' ? texts.floatQuiet_s : texts.quiet_s,
          draws,
        ),
    )
    this.silence_s = Math.max(...vessel.instruments.map(silenceAllowed_s))
  }

  get name(): string {
    return this.texts.name
  }

  /** Of all vessels that command the same devices. */
  get longestLease_s(): number {
    return this.texts.lease_s
  }

  /** Whether some instrument has not told the truth lately. */
  liedWithin(span_ms: number, now_ms: number): boolean {
    return this.instruments.some(({ lied_ms }) => now_ms - lied_ms < span_ms)
  }
}
