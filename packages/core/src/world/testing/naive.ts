import type { ReadingInput, Stands } from '../../engine/contract.ts'
import type { World } from '../world.ts'

/**
 * The definition of `World.seek`: a loop over every second that looks at every reading. It uses nothing of the world but
 * `advanceTo`, `readingsAt` and `controllerDown`.
 */
export class Naive {
  readonly world: World
  /** By channel: the latest reading so far; before it the start. */
  readonly latest_s: number[]
  /** By channel: the latest reading before now that no engine has seen. */
  unseen: (ReadingInput | undefined)[]
  /** By channel: every reading is to be handed over, not the latest alone. */
  readonly #remembers: readonly boolean[]
  #kept: ReadingInput[] = []

  constructor(world: World, channels: number, remembers: readonly boolean[] = []) {
    this.world = world
    this.latest_s = new Array<number>(channels).fill(world.now_s)
    this.unseen = new Array<ReadingInput | undefined>(channels).fill(undefined)
    this.#remembers = remembers
    this.#look()
  }

  seek(stands: Stands, limit_s: number): number {
    const { world } = this
    const down = world.controllerDown
    while (world.now_s < limit_s) {
      for (const reading of world.readingsAt(world.now_s)) {
        if (this.#remembers[reading.channel]) this.#kept.push(reading)
        else this.unseen[reading.channel] = reading
      }
      const t_s = world.now_s + 1
      world.advanceTo(t_s)
      const before_s = [...this.latest_s]
      const readings = this.#look()
      if (world.controllerDown !== down) {
        if (down) this.#forget()
        return t_s
      }
      if (down) continue
      if (t_s >= stands.until_s) return t_s
      for (const { channel, value } of readings) {
        if (!(value > stands.lower[channel]! && value < stands.upper[channel]!)) return t_s
      }
      for (let channel = 0; channel < before_s.length; channel++) {
        const silence_s = stands.silence_s[channel]!
        const since_s = this.latest_s[channel]!
        if (t_s >= since_s + silence_s && !(t_s - 1 >= before_s[channel]! + silence_s)) return t_s
      }
    }
    return world.now_s
  }

  /** The engine has been called now. */
  called(): void {
    this.#forget()
    for (const reading of this.world.readingsAt(this.world.now_s)) this.unseen[reading.channel] = undefined
    this.#handedOver_s = this.world.now_s
  }

  skipped(): ReadingInput[] {
    const latest = this.unseen.filter(reading => reading !== undefined)
    return [...this.#kept, ...latest].filter(({ at_s }) => at_s > this.#handedOver_s)
  }

  #forget(): void {
    this.unseen.fill(undefined)
    this.#kept = []
  }

  #handedOver_s = Number.NEGATIVE_INFINITY

  #look(): ReadingInput[] {
    const readings = this.world.readingsAt(this.world.now_s)
    for (const { channel, at_s } of readings) this.latest_s[channel] = at_s
    return readings
  }
}
