import type { Beer } from '@attemper/core/beer/beer.ts'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import type { Command, Stands } from '@attemper/core/engine/contract.ts'
import type { Plan } from '@attemper/core/plan/plan.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { runSeed } from '@attemper/core/random/draw.ts'
import { NOMINAL_RUN } from '@attemper/core/rehearsal/run.ts'
import { listChannels, type NumberedChannel } from '@attemper/core/vessel/channels.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import { nominalPlant } from '@attemper/core/world/plant.ts'
import { World } from '@attemper/core/world/world.ts'
import type { Report } from '../../doors/report.ts'

export interface Texts {
  readonly planText: string
  readonly vesselText: string
  readonly beerText: string
}

/** The world of the nominal rehearsal, in the hands of a test: it hands in readings and obeys commands, as a real vessel does. */
export class SimulatedVessel {
  readonly plan: Plan
  readonly vessel: Vessel
  readonly beer: Beer
  readonly start_s: number
  readonly world: World
  readonly #channels: readonly NumberedChannel[]
  readonly #eachReading: Stands

  constructor({ planText, vesselText, beerText }: Texts, seed: number) {
    this.plan = readPlan(planText, 'plan').plan!
    this.vessel = readVessel(vesselText, 'vessel').vessel!
    this.beer = readBeer(beerText, 'beer').beer!
    this.start_s = this.beer.start.local_s
    this.#channels = listChannels(this.vessel)
    this.world = new World({
      vessel: this.vessel,
      beer: this.beer,
      plant: nominalPlant(this.vessel, this.beer),
      faults: [],
      seed: runSeed(seed, NOMINAL_RUN),
      start_s: this.start_s,
    })
    this.#eachReading = {
      until_s: Number.POSITIVE_INFINITY,
      lower: this.#channels.map(() => Number.POSITIVE_INFINITY),
      upper: this.#channels.map(() => Number.NEGATIVE_INFINITY),
      silence_s: this.#channels.map(() => Number.POSITIVE_INFINITY),
    }
  }

  get now_s(): number {
    return this.world.now_s
  }

  /** Moves on to the next reading, but not beyond a time. */
  moveOn(limit_s: number): void {
    this.world.seek(this.#eachReading, Math.max(this.world.now_s + 1, limit_s))
  }

  /** What the instruments report at this second. */
  reports(): readonly Report[] {
    return this.world.readingsAt(this.world.now_s).map(({ channel, value, at_s }) => ({
      vessel: this.vessel.name,
      instrument: this.#channels[channel]!.instrument.name,
      quantity: this.#channels[channel]!.channel.quantity,
      value,
      at_ms: at_s * 1000,
      status: 'good',
    }))
  }

  obey(commands: readonly Command[]): void {
    this.world.apply(commands)
  }
}
