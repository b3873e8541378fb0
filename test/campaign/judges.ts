import type { Command } from '@attemper/core/engine/contract.ts'
import type { Line } from './broker.ts'
import { LeasedDevice } from './devices.ts'
import type { House } from './house.ts'
import type { Part } from './physical-vessel.ts'
import type { Spot } from './spot.ts'

const MINUTE_MS = 60_000
const HOUR_MS = 3_600_000
/** Messages, timers and rounding need so long; nothing that matters in a cellar does. */
const SLACK_MS = 5_000
/** Longer than any message is on its way here. */
const SETTLED_MS = 10 * MINUTE_MS
/** Noise, bias and lag of a thermometer may hide this much. */
const HIDDEN_K = 1
/** How long nothing may be heard before somebody has to be told: alarm delays, and the longest dwell of them. */
const TOLD_WITHIN_MS = 90 * MINUTE_MS

/** Judges each moment at which an invariant could be broken, and counts them. */
export class Judges {
  readonly #house: House

  constructor(house: House) {
    this.#house = house
  }

  survives(complaint: string | null): void {
    this.#house.story.judge('nothing ends it', complaint)
  }

  /** A command that is about to go out. */
  command(vessel: string, command: Command): void {
    const { story, host, queue } = this.#house
    const spot = this.#house.spots.find(({ name }) => name === vessel)
    if (spot === undefined || command.appliance === 'thermostat') return
    const { appliance, on, until_s, fence } = command
    const clock_s = Math.floor(host.now_ms() / 1000)
    const left_s = until_s - clock_s
    const { lease_s } = spot.texts
    if (on || spot.physical[appliance].on) {
      story.tell(`${vessel}: ${appliance} ${on ? 'on' : 'off'} for ${left_s} s, fence ${fence}`)
    }
    story.judge(
      'command within lease',
      left_s <= lease_s + 1
        ? null
        : `${appliance} of ${vessel} is commanded for ${left_s} s; its lease is ${lease_s} s`,
    )
    if (!on || appliance !== 'heater') return
    const unknown_ms = queue.now_ms - spot.believed_ms
    const allowed_ms = spot.silence_s * 1000 + SLACK_MS
    story.judge(
      'no heat unknown',
      unknown_ms <= allowed_ms
        ? null
        : `${vessel} is heated, and what it believes of its beer is ${Math.round(unknown_ms / 1000)} s old (${allowed_ms / 1000} s allowed)`,
    )
  }

  /** A device has heard the latest command, and nothing in between. */
  heard({ topic, listener }: Line): void {
    if (!(listener instanceof LeasedDevice) || this.#house.tornOnce) return
    const { refusal } = listener
    const isRefused = refusal?.includes('fencing number') === true
    this.#house.story.judge('commands are obeyed', isRefused ? `${topic}: ${refusal}` : null)
  }

  /** The contacts of a vessel have changed. */
  switched(
    spot: Spot,
    part: Part,
    on: boolean,
    before: { readonly since_ms: number; readonly onSince_ms: number; readonly whyOff: string },
  ): void {
    const { story, queue } = this.#house
    const { heater, cooler } = spot.physical
    if (!on) {
      this.#wentOff(spot, part)
      return
    }
    if (!this.#isHelpless(spot)) {
      story.judge('never heat and cool', heater.on && cooler.on ? `${spot.name} is heated and cooled` : null)
    }
    if (part !== 'cooler' || before.whyOff !== 'told' || this.#isHelpless(spot)) return
    const rested_ms = queue.now_ms - before.since_ms
    const needed_ms = spot.texts.rest_s * 1000 - SLACK_MS
    // An "off" that was long on its way shortens the rest, and nobody can know it.
    if (spot.lastOffLate_ms > 1000) return
    story.judge(
      'compressor rests',
      rested_ms >= needed_ms
        ? null
        : `the compressor of ${spot.name} rested ${Math.round(rested_ms / 1000)} s`,
    )
  }

  #wentOff(spot: Spot, part: Part): void {
    const device = spot.devices.get(part)!
    if (part === 'cooler') {
      // What a plain relay was told by an old message, nobody in the cellar knows of.
      spot.lastOffLate_ms = this.#isHelpless(spot) ? Number.POSITIVE_INFINITY : device.late_ms
    }
    if (device.kind !== 'keeps its lease') return
    this.#keptLease(spot, part)
  }

  #keptLease(spot: Spot, part: Part): void {
    const { story, queue } = this.#house
    const device = spot.devices.get(part)!
    if (device.kind !== 'keeps its lease') return
    const silent_ms = queue.now_ms - device.heard_ms
    const allowed_ms = spot.longestLease_s * 1000 + SLACK_MS
    story.judge(
      'off after the end',
      silent_ms <= allowed_ms
        ? null
        : `the ${part} of ${spot.name} is on, ${Math.round(silent_ms / 1000)} s after the last command`,
    )
  }

  /** A plain switch that has not heard what it should do, or contacts that are welded: no software can help. */
  #isHelpless(spot: Spot): boolean {
    const { queue, life, started_ms } = this.#house
    const { now_ms } = queue
    if (now_ms - spot.broken_ms < 6 * HOUR_MS) return true
    const isAway = life === null || now_ms - started_ms < SETTLED_MS
    return [...spot.devices].some(([part, { kind }]) => {
      if (kind === 'keeps its lease') return false
      const line = spot.lines.get(part)
      return isAway || (line === undefined ? now_ms - spot.coilCut_ms < HOUR_MS : line.isAstray)
    })
  }

  /** At regular times: what must be so at any moment. */
  look(): void {
    for (const spot of this.#house.spots) {
      this.#contacts(spot)
      if (!this.#isOpen(spot)) continue
      this.#limits(spot)
      this.#told(spot)
      this.#heard(spot)
    }
  }

  /** Somebody may have ended it since people last came by. */
  #isOpen({ batch, keeper }: Spot): boolean {
    if (batch === null) return false
    const { life } = this.#house
    if (life === null || (keeper !== null && life.cellar.batchIn(keeper.record.vessel) === batch)) return true
    return this.#house.ask('looks at the record', () => life.store.batch(batch)?.ended_ms === null) === true
  }

  #contacts(spot: Spot): void {
    const { story, queue } = this.#house
    const { heater, cooler } = spot.physical
    if (!this.#isHelpless(spot)) {
      story.judge('never heat and cool', heater.on && cooler.on ? `${spot.name} is heated and cooled` : null)
    }
    for (const part of ['heater', 'cooler'] as const) if (spot.physical[part].on) this.#keptLease(spot, part)
    if (!heater.on || this.#isPlain(spot)) return
    // What was told last may go on for a lease after the temperature was lost.
    const unknown_ms = queue.now_ms - this.#believed_ms(spot)
    const allowed_ms = (spot.silence_s + spot.longestLease_s) * 1000 + SETTLED_MS
    story.judge(
      'no heat unknown',
      unknown_ms <= allowed_ms
        ? null
        : `${spot.name} heats, ${Math.round(unknown_ms / 60_000)} min after its beer was last known`,
    )
  }

  /** By whichever spot of the cellar that stands for this vessel. */
  #believed_ms({ physical }: Spot): number {
    const same = this.#house.spots.filter(each => each.physical === physical)
    return Math.max(...same.map(({ believed_ms }) => believed_ms))
  }

  #isPlain(spot: Spot): boolean {
    return [...spot.devices.values()].some(({ kind }) => kind !== 'keeps its lease')
  }

  /** Whatever one instrument says: a beer that is beyond its limits is not driven further for longer than an answer takes. */
  #limits(spot: Spot): void {
    const { story, queue } = this.#house
    const { keeper, physical } = spot
    const beer_C = physical.beer_C(queue.now_ms)
    if (beer_C === null || keeper === null || this.#isHelpless(spot)) {
      spot.drivenSince_ms = null
      return
    }
    const { lowest_C, highest_C, heater, cooler, interlocks } = keeper.case.program
    const isDriven =
      (physical.runs('heater') && beer_C > highest_C + HIDDEN_K) ||
      (physical.runs('cooler') && beer_C < lowest_C - HIDDEN_K)
    if (!isDriven) spot.drivenSince_ms = null
    else spot.drivenSince_ms ??= queue.now_ms
    const watch_s = Math.max(heater?.response_s ?? 0, cooler?.response_s ?? 0)
    // A probe that is stuck in the middle of a run that has answered already is not found out by its answers; then somebody
    // has to be told by the other instrument.
    const isLying = spot.liedWithin(24 * HOUR_MS, queue.now_ms)
    const answer_s = isLying ? 1.2 * watch_s : 600
    const allowed_ms = (answer_s + spot.silence_s + interlocks.lease_s) * 1000 + SETTLED_MS
    const driven_ms = spot.drivenSince_ms === null ? 0 : queue.now_ms - spot.drivenSince_ms
    story.judge(
      'kept within limits',
      driven_ms <= allowed_ms || (isLying && this.#isToldOf(spot))
        ? null
        : `${spot.name} has been driven beyond its limits for ${Math.round(driven_ms / 60_000)} min: ${beer_C.toFixed(1)} °C, limits ${lowest_C} and ${highest_C} °C`,
    )
  }

  #isToldOf(spot: Spot): boolean {
    const { life } = this.#house
    if (life === null) return false
    if ((spot.keeper?.state.questions.length ?? 0) > 0) return true
    return life.alarms
      .list()
      .some(({ place, state }) => (place === null || place.batch === spot.batch) && state !== 'returned')
  }

  /** A batch goes on, asks or rings: it does not stand still in silence. */
  #told(spot: Spot): void {
    const { life, started_ms, queue, story } = this.#house
    const { batch, keeper } = spot
    if (life === null || batch === null || queue.now_ms - started_ms < SETTLED_MS) return
    if (keeper === null) {
      story.judge('told in time', this.#isToldOf(spot) ? null : `nobody keeps ${batch}, and no alarm says so`)
      return
    }
    const { state } = keeper
    if (state.batch !== 'running') return
    const stage = keeper.case.program.stages[state.stage]
    if (stage === undefined) return
    const bound_s = stage.atMost_s + stage.unknownWait_s + 86_400
    // Of the true time, whatever the clock says: a clock that is wrong does not make a beer wait.
    const held_s = state.heldInStage_s ?? 0
    // By the batch's own time: a clock that was just set is noticed with its next call.
    const since_s = (state.now_s ?? state.stageSince_s) - state.stageSince_s - held_s
    const isLate = since_s > bound_s && queue.now_ms - spot.pitched_ms > (bound_s + held_s) * 1000
    const isDeclined = state.declined.length > 0
    story.judge(
      'told in time',
      !isLate || isDeclined || this.#isToldOf(spot)
        ? null
        : `${batch} has been in ${stage.name} for ${Math.round(since_s / 3600)} h, and asks nothing`,
    )
  }

  /** What is answered with "stored" is used, or somebody is told that it is not. */
  #heard(spot: Spot): void {
    const { story, queue, life, started_ms } = this.#house
    if (life === null || queue.now_ms - started_ms < TOLD_WITHIN_MS) return
    if (spot.unheard < 3 || spot.liedWithin(6 * HOUR_MS, queue.now_ms)) return
    const waiting_ms = queue.now_ms - Math.max(spot.unheardSince_ms, started_ms)
    const isDeaf = waiting_ms > TOLD_WITHIN_MS + 1000 * spot.silence_s
    story.judge(
      'heard or told',
      !isDeaf || this.#isToldOf(spot)
        ? null
        : `${spot.unheard} readings of ${spot.name} were acknowledged in ${Math.round(waiting_ms / 60_000)} min, none is believed, and nobody is told`,
    )
  }

  /** Less often: what the sentence on top says. */
  sentences(): void {
    for (const spot of this.#house.spots) this.#sentence(spot)
  }

  #sentence(spot: Spot): void {
    const { life, story, queue, started_ms } = this.#house
    const { keeper, batch } = spot
    if (life === null || keeper === null || batch === null || queue.now_ms - started_ms < SETTLED_MS) return
    if (life.cellar.batchIn(spot.name) !== batch) return
    const { sentence, verdict } = life.cellar.view(batch)
    if (verdict !== 'well') {
      spot.wrongSince_ms.clear()
      return
    }
    const reasons = this.#notWell(spot)
    for (const reason of [...spot.wrongSince_ms.keys()])
      if (!reasons.includes(reason)) spot.wrongSince_ms.delete(reason)
    for (const reason of reasons)
      if (!spot.wrongSince_ms.has(reason)) spot.wrongSince_ms.set(reason, queue.now_ms)
    const lasting = [...spot.wrongSince_ms].find(([, since_ms]) => queue.now_ms - since_ms >= TOLD_WITHIN_MS)
    story.judge(
      'well only when it is',
      lasting === undefined
        ? null
        : `“${sentence}”, although for ${Math.round((queue.now_ms - lasting[1]) / 60_000)} min ${lasting[0]}`,
    )
  }

  /** What is not well with a batch, as somebody would see who stands beside it. */
  #notWell(spot: Spot): string[] {
    const { queue, life } = this.#house
    const { keeper, physical, batch } = spot
    const { state, case: batchCase } = keeper!
    const reasons: string[] = []
    if (queue.now_ms - spot.believed_ms > spot.silence_s * 1000 + SETTLED_MS)
      reasons.push('its temperature is not known')
    for (const part of ['heater', 'cooler'] as const) {
      if (state[part].on && !physical[part].on && queue.now_ms > spot.clockWrong_ms)
        reasons.push(`the ${part} is said to be on, and is off`)
    }
    const beer_C = physical.beer_C(queue.now_ms)
    const { lowest_C, highest_C } = batchCase.program
    if (beer_C !== null && !spot.liedWithin(24 * HOUR_MS, queue.now_ms)) {
      if (beer_C > highest_C + HIDDEN_K || beer_C < lowest_C - HIDDEN_K)
        reasons.push('the beer is beyond its limits')
    }
    const rings = life!.alarms
      .list()
      .find(
        ({ place, state: now, priority }) =>
          place?.batch === batch && now === 'active' && priority === 'high',
      )
    if (rings !== undefined) reasons.push(`an alarm rings (${rings.code})`)
    return reasons
  }

  kept(): void {
    const { ledger, disk, story, damaged } = this.#house
    if (damaged) return
    const { compared, complaint } = ledger.compare(disk.peek())
    for (let n = 1; n < compared; n++) story.judge('kept as acknowledged', null)
    story.judge('kept as acknowledged', complaint)
  }
}
