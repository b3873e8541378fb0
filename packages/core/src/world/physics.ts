import type { Command } from '../engine/contract.ts'
import { streamKey } from '../random/hash-noise.ts'
import type { NumberedChannel } from '../vessel/channels.ts'
import { Relay } from './appliances/relay.ts'
import { Thermostat } from './appliances/thermostat.ts'
import { type Conditions, conditionsAt, faultEdges_s } from './faults/conditions.ts'
import { Fermenter, withFinalGravityOffset } from './fermenter.ts'
import { Anchor } from './heat/anchor.ts'
import { BOILING_POINT_C, Boiling } from './heat/boiling.ts'
import { INPUTS } from './heat/network.ts'
import { FINE_S, LONGEST_S, type StepTable } from './heat/step-table.ts'
import {
  BEER,
  BOILING_C,
  COLDEST_C,
  cooledRow,
  FIRST_THERMOMETER,
  HEATER_W,
  lostRow,
  nodeCapacities_J_per_K,
  ROOM_C,
  type Thermometer,
  type ThermometerPlace,
  vesselSteps,
  WALL,
  YEAST_W,
} from './heat/vessel-network.ts'
import { roomTemperature_C } from './room.ts'
import { localOffset_s, STREAM, USUAL_KINETICS_STEP_S, type WorldSetup } from './setup.ts'

/** The steps of one set of conditions: cooler off, on, and the same while boiling; each is made when first needed. */
type Steps = (StepTable | null)[]

/**
 * Heat, fermentation and appliances. Time goes on from event to event: the grid of 300 s, the edges of faults, the ends of
 * leases, and the commands of the caller. At each of them stands an anchor, so where the caller stops in between leaves
 * no trace.
 */
export class Physics {
  readonly anchor: Anchor
  /** Of each node; 0 for one that the vessel does not have. */
  readonly capacities_J_per_K: readonly number[]
  readonly fermenter: Fermenter
  readonly heater: Relay
  readonly cooler: Relay
  /** Switches both, when the vessel has one. Its thermometer is the last of them. */
  readonly thermostat: Thermostat | null
  conditions: Conditions
  /** When the next event is due. */
  nextEvent_s = 0
  /** The next event is a fault's edge. */
  nextIsEdge = false
  /** Energy since the start up to the anchor, J. */
  #heater_J = 0
  #yeast_J = 0

  readonly #setup: WorldSetup
  readonly #channels: readonly NumberedChannel[]
  readonly #thermometers: readonly Thermometer[]
  readonly #thermometerChannels: readonly number[]
  readonly #edges_s: readonly number[]
  #edge = 0
  readonly #boiling = new Boiling()
  #steps: Steps
  readonly #allSteps = new Map<string, Steps>()
  readonly #localOffset_s: number
  readonly #kineticsStep_s: number
  readonly #grid_s: number

  constructor(
    setup: WorldSetup,
    channels: readonly NumberedChannel[],
    thermometerChannels: readonly number[],
  ) {
    const { vessel, beer, plant, start_s, seed } = setup
    this.#setup = setup
    this.capacities_J_per_K = nodeCapacities_J_per_K(vessel, plant)
    this.#channels = channels
    this.#thermometerChannels = thermometerChannels
    this.#thermometers = [
      ...thermometerChannels.map(number => ({ lag_s: channels[number]!.channel.lag_s })),
      ...(vessel.thermostat === undefined ? [] : [{ lag_s: vessel.thermostat.lag_s }]),
    ]
    this.#localOffset_s = localOffset_s(setup)
    this.#kineticsStep_s =
      FINE_S * Math.max(1, Math.round((setup.kineticsStep_s ?? USUAL_KINETICS_STEP_S) / FINE_S))
    this.#grid_s = Math.min(LONGEST_S, this.#kineticsStep_s)
    this.#edges_s = faultEdges_s(setup.faults, start_s)
    this.conditions = conditionsAt(setup.faults, channels, start_s)
    this.heater = new Relay(vessel.heater?.lostCommands ?? 0, streamKey(seed, STREAM.lostCommands))
    this.cooler = new Relay(vessel.cooler?.lostCommands ?? 0, streamKey(seed, STREAM.lostCommands + 1))

    const { thermostat } = vessel
    const key = streamKey(seed, STREAM.lostCommands + 2)
    this.thermostat =
      thermostat === undefined ? null : new Thermostat(thermostat, vessel, plant.thermostatBias_K, key)

    let offset_SG = 0
    for (const fault of setup.faults) if (fault.kind === 'final gravity') offset_SG += fault.offset_SG
    const parameters =
      plant.fermentation === null || offset_SG === 0
        ? plant.fermentation
        : withFinalGravityOffset(plant.fermentation, offset_SG)
    this.fermenter = new Fermenter(
      parameters,
      beer.originalGravity,
      plant.volume_L,
      this.#kineticsStep_s,
      setup.underWay?.fermentation,
    )

    this.#steps = this.#stepsFor(this.conditions)
    const inputs = new Float64Array(INPUTS)
    inputs[BOILING_C] = BOILING_POINT_C
    inputs[COLDEST_C] = vessel.cooler?.coldest_C ?? 0
    inputs[ROOM_C] = this.#room_C(start_s)
    this.anchor = new Anchor(start_s, this.#present(), this.#startingState(inputs[ROOM_C]!), inputs)
    this.#boiling.update(plant.startsAt_C)
    this.#kinetics()
    this.#switch()
    this.#inputsChanged()
    this.#planNextEvent(start_s)
  }

  /** Moves on to `nextEvent_s` and lets happen what is due there. True: conditions have changed. */
  passEvent(): boolean {
    const t_s = this.nextEvent_s
    this.#moveAnchor(t_s)
    const step = (t_s - this.#setup.start_s) % this.#kineticsStep_s === 0
    const atEdge = this.#edges_s[this.#edge] === t_s
    if (atEdge) {
      this.#edge++
      this.conditions = conditionsAt(this.#setup.faults, this.#channels, t_s)
      this.#steps = this.#stepsFor(this.conditions)
    }
    if (this.heater.leaseUntil_s <= t_s) this.heater.release()
    if (this.cooler.leaseUntil_s <= t_s) this.cooler.release()
    if (this.thermostat !== null && this.thermostat.leaseUntil_s <= t_s) this.thermostat.release()
    if (step) this.#kinetics()
    const turns = this.#boiling.update(this.anchor.state[BEER]!)
    this.#switch()
    if (atEdge || step || turns) this.#inputsChanged()
    this.#planNextEvent(t_s)
    return atEdge
  }

  /** Commands that were sent at `now_s`, not later than the next event. */
  receive(commands: readonly Command[], now_s: number): void {
    if (commands.length === 0 || this.conditions.networkCut || this.conditions.powerCut) return
    for (const command of commands) {
      if (command.appliance === 'heater') this.heater.receive(command, now_s)
      else if (command.appliance === 'cooler') this.cooler.receive(command, now_s)
      else if (command.appliance === 'thermostat') this.thermostat?.receive(command, now_s)
    }
    this.thermostat?.decide(this.valueAt(this.#thermostatRow, now_s), now_s)
    if (this.#heaterShouldRun() !== this.heater.on || this.#coolerShouldRun() !== this.cooler.on) {
      this.#moveAnchor(now_s)
      this.#switch()
    }
    this.#planNextEvent(now_s)
  }

  /** Value of a node or follower, up to the next event and back to the anchor before the present one. */
  valueAt(row: number, t_s: number): number {
    return this.anchor.valueAt(row, t_s)
  }

  /** As it acts now: held for one step of the kinetics. */
  get room_C(): number {
    return this.anchor.inputs[ROOM_C]!
  }

  /** Heat taken away by the cooler, and lost to the room, since the start. */
  cooled_J(now_s: number): number {
    return 1000 * this.valueAt(cooledRow(this.#thermometers.length), now_s)
  }

  lost_J(now_s: number): number {
    return 1000 * this.valueAt(lostRow(this.#thermometers.length), now_s)
  }

  heater_J(now_s: number): number {
    return this.#heater_J + this.anchor.inputs[HEATER_W]! * (now_s - this.anchor.at_s)
  }

  yeast_J(now_s: number): number {
    return this.#yeast_J + this.anchor.inputs[YEAST_W]! * (now_s - this.anchor.at_s)
  }

  #moveAnchor(t_s: number): void {
    const { anchor } = this
    const seconds = t_s - anchor.at_s
    this.#heater_J += anchor.inputs[HEATER_W]! * seconds
    this.#yeast_J += anchor.inputs[YEAST_W]! * seconds
    anchor.move(seconds)
  }

  /** The step of the fermentation that begins at the anchor; its heat and the room's temperature hold for its length. */
  #kinetics(): void {
    const { anchor, conditions, fermenter } = this
    fermenter.step(anchor.at_s, anchor.state[BEER]!, conditions.activityFactor, conditions.stuckAt)
    anchor.inputs[YEAST_W] = fermenter.heat_W
  }

  #inputsChanged(): void {
    this.anchor.inputs[ROOM_C] = this.#room_C(this.anchor.at_s)
    this.anchor.changed(this.#present())
  }

  /** In the middle of the step of the grid, so that holding it constant does not shift the swing. */
  #room_C(t_s: number): number {
    const { plant, vessel, start_s } = this.#setup
    const begun_s = t_s - ((t_s - start_s) % this.#kineticsStep_s)
    const local_s = begun_s + this.#kineticsStep_s / 2 + this.#localOffset_s
    return (
      roomTemperature_C(plant.roomMean_C, plant.roomSwing_K, vessel.room.warmestAt_s, local_s) +
      this.conditions.roomOffset_K
    )
  }

  #heaterShouldRun(): boolean {
    const { powerCut, heaterWelded, heaterDead } = this.conditions
    if (this.#setup.vessel.heater === undefined || powerCut || heaterDead) return false
    return heaterWelded || (this.thermostat === null ? this.heater.commanded : this.thermostat.heats)
  }

  #coolerShouldRun(): boolean {
    const { powerCut, coolerWelded, coolerDead } = this.conditions
    if (this.#setup.vessel.cooler === undefined || powerCut || coolerDead) return false
    return coolerWelded || (this.thermostat === null ? this.cooler.commanded : this.thermostat.cools)
  }

  #switch(): void {
    if (this.conditions.powerCut) {
      this.heater.release()
      this.cooler.release()
    }
    const { at_s, inputs, state } = this.anchor
    if (this.conditions.powerCut) this.thermostat?.losePower(at_s)
    else this.thermostat?.decide(state[this.#thermostatRow]!, at_s)
    const heaterChanged = this.heater.switch(this.#heaterShouldRun(), at_s)
    const coolerChanged = this.cooler.switch(this.#coolerShouldRun(), at_s)
    if (!heaterChanged && !coolerChanged) return
    inputs[HEATER_W] = this.heater.on ? this.#setup.plant.heaterPower_W : 0
    this.anchor.changed(this.#present())
  }

  #planNextEvent(now_s: number): void {
    const { start_s } = this.#setup
    const { at_s } = this.anchor
    const grid_s = at_s - ((at_s - start_s) % this.#grid_s) + this.#grid_s
    const { thermostat } = this
    const { present } = this.anchor
    const lapse_s = Math.min(
      this.heater.leaseUntil_s,
      this.cooler.leaseUntil_s,
      thermostat?.leaseUntil_s ?? Number.POSITIVE_INFINITY,
    )
    const edge_s = this.#edges_s[this.#edge]
    const planned_s = Math.min(grid_s, lapse_s, edge_s ?? grid_s)
    const turns_s = this.#boiling.turns_s(present, now_s, planned_s)
    const next_s = thermostat?.turns_s(present, this.#thermostatRow, now_s, turns_s) ?? turns_s
    this.nextIsEdge = edge_s === next_s
    this.nextEvent_s = next_s
  }

  #present(): StepTable {
    const { on } = this.cooler
    const { boils } = this.#boiling
    const number = (on ? 1 : 0) + (boils ? 2 : 0)
    const known = this.#steps[number]
    if (known) return known
    const made = this.#makeSteps(on, boils)
    this.#steps[number] = made
    return made
  }

  #makeSteps(coolerOn: boolean, boiling: boolean): StepTable {
    const { vessel, plant } = this.#setup
    const { doorFactor } = this.conditions
    return vesselSteps(vessel, plant, this.#thermometers, {
      coolerOn,
      boiling,
      doorFactor,
      places: this.#places(this.conditions),
    })
  }

  /** Where each thermometer is. */
  #places({ places, thermostatInto }: Conditions): ThermometerPlace[] {
    const { thermostat } = this.#setup.vessel
    const own = this.#thermometerChannels.map(number => places[number]!)
    return thermostat === undefined ? own : [...own, thermostatInto ?? thermostat.follows]
  }

  get #thermostatRow(): number {
    return FIRST_THERMOMETER + this.#thermometers.length - 1
  }

  #stepsFor(conditions: Conditions): Steps {
    const key = `${conditions.doorFactor} ${this.#places(conditions).join(' ')}`
    let steps = this.#allSteps.get(key)
    if (steps === undefined) {
      steps = [null, null, null, null]
      this.#allSteps.set(key, steps)
    }
    return steps
  }

  /** At pitching the wort and the vessel's wall are at its temperature, everything else is as warm as the room. */
  #startingState(room_C: number): Float64Array {
    const { conditions } = this
    const { plant, underWay } = this.#setup
    const beer_C = plant.startsAt_C
    const wall_C = underWay?.wall_C ?? beer_C
    const air_C = underWay?.air_C ?? room_C
    const thermometers = this.#thermometers.length
    const state = new Float64Array(lostRow(thermometers) + 1)
    state.fill(air_C, 0, cooledRow(thermometers))
    state[BEER] = beer_C
    state[WALL] = wall_C
    this.#places(conditions).forEach((place, n) => {
      if (place === 'room') state[FIRST_THERMOMETER + n] = room_C
      else if (place === 'beer') state[FIRST_THERMOMETER + n] = beer_C
      else if (place === 'wall') state[FIRST_THERMOMETER + n] = wall_C
    })
    return state
  }
}
