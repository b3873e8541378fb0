import type { TargetCommand } from '../../engine/contract.ts'
import { uniformAt } from '../../random/hash-noise.ts'
import type { Appliance, Vessel, Thermostat as VesselThermostat } from '../../vessel/vessel.ts'
import { FINE_S } from '../heat/step-table.ts'
import type { Stretch } from '../heat/stretch.ts'
import { Reach } from '../instruments/reach.ts'

/** The least times of something that has no such times, or that is not there. */
const NO_TIMES: Pick<Appliance, 'restsAtLeast_s' | 'runsAtLeast_s'> = { restsAtLeast_s: 0, runsAtLeast_s: 0 }

/**
 * A thermostat as it obeys and switches: on-off with hysteresis, by the lagged and biased temperature of its own
 * thermometer, never heating and cooling together, with the least runs and rests of what is behind it. Between two events
 * nothing about it changes, and it says itself when it will switch next; so it is the same whoever looks at it, and when.
 */
export class Thermostat {
  /** What the latest command that arrived says; null: off. */
  target_C: number | null = null
  leaseUntil_s = Number.POSITIVE_INFINITY
  heats = false
  cools = false
  #fence = Number.NEGATIVE_INFINITY
  #startedAt_s = Number.NEGATIVE_INFINITY
  #heaterStopped_s = Number.NEGATIVE_INFINITY
  #coolerStopped_s = Number.NEGATIVE_INFINITY

  /** Nothing will be switched while the temperature stays strictly between these, and before that time. */
  #lower_C = Number.NEGATIVE_INFINITY
  #upper_C = Number.POSITIVE_INFINITY
  #waitsUntil_s = Number.POSITIVE_INFINITY

  readonly #device: VesselThermostat
  readonly #heater: typeof NO_TIMES | null
  readonly #cooler: typeof NO_TIMES | null
  readonly #bias_K: number
  readonly #key: number
  readonly #reach = new Reach()

  /** `bias_K`: the error of its thermometer; `key`: of the stream that decides which commands get lost. */
  constructor(device: VesselThermostat, { heater, cooler }: Vessel, bias_K: number, key: number) {
    this.#device = device
    this.#heater = heater ?? null
    this.#cooler = cooler ?? null
    this.#bias_K = bias_K
    this.#key = key
  }

  receive(command: TargetCommand, now_s: number): void {
    if (command.fence < this.#fence) return
    const { lostCommands, lowest_C, highest_C } = this.#device
    if (lostCommands > 0 && uniformAt(this.#key, command.fence) < lostCommands) return
    this.#fence = command.fence
    const lasts = command.until_s > now_s
    // It takes nothing outside of its range, whatever it is told.
    this.target_C =
      command.target_C === null || !lasts ? null : Math.min(highest_C, Math.max(lowest_C, command.target_C))
    this.leaseUntil_s = this.target_C === null ? Number.POSITIVE_INFINITY : Math.ceil(command.until_s)
  }

  /** The lease has lapsed, or the power is gone. */
  release(): void {
    this.leaseUntil_s = Number.POSITIVE_INFINITY
    if (this.#device.whenUnheard === 'off') this.target_C = null
  }

  /** Nothing runs without power; a compressor's rest counts from now. */
  losePower(t_s: number): void {
    this.release()
    this.#stopHeater(t_s)
    this.#stopCooler(t_s)
    this.#watch(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)
  }

  /** Switches as the temperature at its thermometer asks. Asking twice at the same moment changes nothing more. */
  decide(true_C: number, t_s: number): void {
    const { target_C } = this
    if (target_C === null) {
      this.#stopHeater(t_s)
      this.#stopCooler(t_s)
      this.#watch(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)
      return
    }
    const { hysteresis_K } = this.#device
    const is_C = true_C + this.#bias_K
    const mayStop_s =
      this.#startedAt_s + ((this.heats ? this.#heater : this.#cooler) ?? NO_TIMES).runsAtLeast_s
    const isThere = this.heats ? is_C >= target_C : this.cools && is_C <= target_C
    if (isThere && t_s >= mayStop_s) {
      this.#stopHeater(t_s)
      this.#stopCooler(t_s)
    }
    if (this.heats || this.cools) {
      if (isThere) this.#watch(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, mayStop_s)
      else if (this.heats) this.#watch(Number.NEGATIVE_INFINITY, target_C, Number.POSITIVE_INFINITY)
      else this.#watch(target_C, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)
      return
    }
    const lower_C = this.#heater === null ? Number.NEGATIVE_INFINITY : target_C - hysteresis_K
    const upper_C = this.#cooler === null ? Number.POSITIVE_INFINITY : target_C + hysteresis_K
    if (is_C > lower_C && is_C < upper_C) {
      this.#watch(lower_C, upper_C, Number.POSITIVE_INFINITY)
      return
    }
    const isCold = is_C <= lower_C
    const { restsAtLeast_s } = isCold ? this.#heater! : this.#cooler!
    const mayStart_s = (isCold ? this.#heaterStopped_s : this.#coolerStopped_s) + restsAtLeast_s
    if (t_s < mayStart_s) {
      // Until the rest is over, only the other way matters.
      if (isCold) this.#watch(Number.NEGATIVE_INFINITY, upper_C, mayStart_s)
      else this.#watch(lower_C, Number.POSITIVE_INFINITY, mayStart_s)
      return
    }
    this.heats = isCold
    this.cools = !isCold
    this.#startedAt_s = t_s
    if (isCold) this.#watch(Number.NEGATIVE_INFINITY, target_C, Number.POSITIVE_INFINITY)
    else this.#watch(target_C, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)
  }

  /**
   * The first second after `now_s` at which it may switch, or `until_s` when that comes first. `row`: its thermometer among
   * the followers. `now_s` and `until_s` lie within one stretch.
   */
  turns_s(stretch: Stretch, row: number, now_s: number, until_s: number): number {
    const end_s = Math.min(until_s, Math.max(now_s + 1, Math.ceil(this.#waitsUntil_s)))
    const lower_C = this.#lower_C - this.#bias_K
    const upper_C = this.#upper_C - this.#bias_K
    if (lower_C === Number.NEGATIVE_INFINITY && upper_C === Number.POSITIVE_INFINITY) return end_s
    const isSafe = (minute: number, long: boolean) => {
      this.#reach.within(stretch, row, minute, long)
      return this.#reach.lowest > lower_C && this.#reach.highest < upper_C
    }
    if (isSafe(0, true)) return end_s
    const { at_s } = stretch
    let t_s = now_s + 1
    while (t_s < end_s) {
      const minute = Math.floor((t_s - at_s) / FINE_S)
      const minuteEnds_s = Math.min(end_s, at_s + FINE_S * (minute + 1))
      if (isSafe(minute, false)) {
        t_s = minuteEnds_s
        continue
      }
      for (; t_s < minuteEnds_s; t_s++) {
        const value_C = stretch.value(row, t_s - at_s)
        if (!(value_C > lower_C && value_C < upper_C)) return t_s
      }
    }
    return end_s
  }

  #watch(lower_C: number, upper_C: number, waitsUntil_s: number): void {
    this.#lower_C = lower_C
    this.#upper_C = upper_C
    this.#waitsUntil_s = waitsUntil_s
  }

  #stopHeater(t_s: number): void {
    if (this.heats) this.#heaterStopped_s = t_s
    this.heats = false
  }

  #stopCooler(t_s: number): void {
    if (this.cools) this.#coolerStopped_s = t_s
    this.cools = false
  }
}
