import type { Place } from '../place.ts'
import type { ControlSettings, LocalDateTime, QuantityName } from '../plan/plan.ts'

/** A value that is not known exactly: `sd` is one standard deviation, in the unit of the value. */
export interface Uncertain {
  readonly value: number
  readonly sd: number
}

/**
 * A vessel: the container, its cabinet and surroundings, its appliances and its instruments. All of it is what the model
 * of the world needs; the engine looks only at the instruments, the appliances' rest times and the control settings.
 */
export interface Vessel {
  readonly name: string
  /** Nominal amount of beer when the beer file does not say, L. */
  readonly volume_L: Uncertain
  readonly heat: HeatPaths
  readonly room: Room
  readonly heater?: Heater
  readonly cooler?: Cooler
  /** Switches heater and cooler by itself; without one, they are switched by the engine. */
  readonly thermostat?: Thermostat
  /** In the order of the file. */
  readonly instruments: readonly Instrument[]
  /** For each quantity the instruments that measure it, the most trusted first. */
  readonly trust: Readonly<Record<string, readonly string[]>>
  /** Settings that fit this vessel; the plan may override them. */
  readonly control: ControlSettings
  readonly interlocks: Interlocks
  readonly place: Place
}

/**
 * The linear thermal network: beer - wall - (cabinet air) - room. Without a cabinet, `air_J_per_K` is 0 and the wall
 * loses its heat to the room straight away through `wallToAir_W_per_K`.
 */
export interface HeatPaths {
  readonly cabinet: boolean
  readonly beerToWall_W_per_K: Uncertain
  readonly wall_J_per_K: Uncertain
  readonly wallToAir_W_per_K: Uncertain
  readonly air_J_per_K: Uncertain
  readonly airToRoom_W_per_K: Uncertain
}

/** The room around: a mean with a daily swing. `swing_K` is the amplitude, half of the daily range. */
export interface Room {
  readonly mean_C: Uncertain
  readonly swing_K: Uncertain
  /** Local time of the daily maximum, s after midnight. */
  readonly warmestAt_s: number
}

export interface Appliance {
  /** Least time between switching off and switching on again, s (a compressor's rest). */
  readonly restsAtLeast_s: number
  /** Least time on, s. Safety may cut it short. */
  readonly runsAtLeast_s: number
  /** Share of commands that get lost on the way, 0 to 1. */
  readonly lostCommands: number
  readonly place: Place
}

export interface Heater extends Appliance {
  readonly power_W: Uncertain
  /** Heat that the element itself stores. */
  readonly element_J_per_K: Uncertain
  /** Where the element's heat goes: conductances to beer, wall and air. */
  readonly toBeer_W_per_K: number
  readonly toWall_W_per_K: number
  readonly toAir_W_per_K: number
}

export interface Cooler extends Appliance {
  /** Heat removed when the evaporator (or the coil) is at 20 °C; falls in proportion to the distance from `coldest_C`. */
  readonly power_W: Uncertain
  readonly coldest_C: number
  readonly evaporator_J_per_K: Uncertain
  /** Conductances from the evaporator to the cabinet's air, or to the beer (a cooling coil or jacket). */
  readonly toAir_W_per_K: number
  readonly toBeer_W_per_K: number
}

/**
 * A device of its own that is told a target and does its own switching, by a thermometer of its own: whatever heater and
 * cooler the vessel has are behind it. Each of them starts `hysteresis_K` from the target, and stops at it.
 */
export interface Thermostat {
  readonly follows: 'beer' | 'air'
  readonly hysteresis_K: number
  /** What it can be set to, and the smallest step of that. */
  readonly lowest_C: number
  readonly highest_C: number
  readonly resolution_K: number
  /** When its command has lapsed: it goes off as an appliance should, or it goes on with the last target for ever. */
  readonly whenUnheard: 'off' | 'keeps its target'
  /** Unknown constant error of its thermometer, and its first-order lag, s. */
  readonly bias: Uncertain
  readonly lag_s: number
  readonly lostCommands: number
  readonly place: Place
}

/** Something that measures one or more quantities, and fails as a whole. */
export interface Instrument {
  readonly name: string
  /** Time between two reports, s. A hand-read instrument: how often the brewer means to read it. */
  readonly every_s: number
  readonly byHand: boolean
  /** Silence after which it is no longer believed, s; not given: derived from `every_s`. */
  readonly timeout_s?: number
  /** When it was last compared with something that can be trusted. */
  readonly calibrated?: LocalDateTime
  /** How long a calibration is good for, s. */
  readonly calibrateEvery_s?: number
  /** Radio or power gaps: how many a day, and how long on average. */
  readonly outages: { readonly perDay: number; readonly length_s: number }
  readonly channels: readonly Channel[]
  readonly place: Place
  readonly places: { readonly every: Place; readonly timeout?: Place }
}

/** One quantity that an instrument measures. All in the quantity's own unit (see Condition in plan.ts). */
export interface Channel {
  readonly quantity: QuantityName
  /** As shown to the brewer: '°C', 'SG', 'Pa', ... */
  readonly unit: string
  /** Where a thermometer sits. */
  readonly sits: 'beer' | 'wall' | 'air' | 'room'
  /** Standard deviation of the noise of a single reading. The noise is bounded to ±3 sd. */
  readonly noise: number
  /** Smallest step of the readings, 0 for none. */
  readonly resolution: number
  /** Unknown constant error (mean and standard deviation over instruments of this kind). */
  readonly bias: Uncertain
  /** Standard deviation of the drift per day. */
  readonly drift_per_day: number
  /** First-order lag, s. */
  readonly lag_s: number
  /** Extra disturbance while the beer foams: standard deviation at the height of fermentation (a float in krausen). */
  readonly foam: number
  /** Readings outside are bad. */
  readonly lowest: number
  readonly highest: number
  /** A change between two readings larger than this is not believed at once. */
  readonly step: number
  readonly place: Place
}

/** What always wins over the controller. Times in s. */
export interface Interlocks {
  /** Least time between heating and cooling, both ways. */
  readonly changeover_s: number
  /** How long a command is valid; after that an appliance falls back to off by itself. */
  readonly lease_s: number
  /** Heating (cooling) without a rise (fall) of at least `response_K` within this time is stopped. 0: not watched. */
  readonly heaterResponse_s: number
  readonly coolerResponse_s: number
  readonly response_K: number
  /** Two instruments for the same quantity that differ by more than this are reported. In K and in specific gravity. */
  readonly disagree_K: number
  readonly disagree_SG: number
}
