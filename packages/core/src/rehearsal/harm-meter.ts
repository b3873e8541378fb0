import type { EngineState } from '../engine/contract.ts'
import type { EngineEvent, Question, SwitchedName } from '../engine/events.ts'
import { YEAST_CLASSES } from '../world/fermentation/yeast-classes.ts'
import type { Truth } from '../world/truth.ts'
import { Extents } from './extents.ts'
import type { Harm } from './record.ts'
import { RISKS } from './risks.ts'
import type { Setup } from './setup.ts'

const HOUR_S = 3600
const DAY_S = 86_400
/** Tolerance around the yeast's comfort before it counts, K. */
const COMFORT_MARGIN_K = 0.5
/** Fermentable matter below this does not count as "still fermenting", specific gravity. */
const NEARLY_DONE_SG = 0.002
/** Up to here a warm finish is meant: a diacetyl rest begins 2 to 5 points above the end (White and Zainasheff 2010). */
const WARM_FINISH_SG = 0.005
/** A target this far below the yeast's comfort means to chill, not to ferment, K. */
const CHILLING_K = 1
/** Off target by more than this counts, K. */
const OFF_TARGET_K = { fermentation: 1, 'hot side': 2 } as const
/** A heater that starts this soon after the cooler has run, or the other way round, is at odds with it. */
const AT_ODDS_S = 2 * HOUR_S

/** Measures what a run suffers, from the truth and from what the engine decided. */
export class HarmMeter {
  readonly #setup: Setup
  readonly #extents = new Extents()
  /** Cooler starts at the latest samples, oldest first: the last hour. */
  readonly #starts: number[] = []
  readonly #stopped_s: Record<SwitchedName, number> = {
    heater: Number.NEGATIVE_INFINITY,
    cooler: Number.NEGATIVE_INFINITY,
  }
  /** Behind a thermostat, whose switching the engine does not decide: how long each had run at the latest sample. */
  readonly #ran_s: Record<SwitchedName, number> = { heater: 0, cooler: 0 }
  readonly #isUnderWay: boolean
  #wasChilled = false

  /** @param isUnderWay the batch began before: what has happened to it already does not count */
  constructor(setup: Setup, isUnderWay = false) {
    this.#setup = setup
    this.#isUnderWay = isUnderWay
  }

  note(event: EngineEvent, stage: number): void {
    if (event.kind === 'no response') this.#extents.add('no-response', 1, stage, event.at_s)
    if (event.kind !== 'switched') return
    const { appliance, on, at_s } = event
    const other = appliance === 'heater' ? 'cooler' : 'heater'
    if (!on) this.#stopped_s[appliance] = at_s
    else if (at_s - this.#stopped_s[other] < AT_ODDS_S)
      this.#extents.add('heater-fights-cooler', 1, stage, at_s)
  }

  sample(now_s: number, truth: Truth, state: EngineState): void {
    const setup = this.#setup
    const hours = setup.sample_s / HOUR_S
    // At the very start some instruments have not spoken yet.
    if (now_s === setup.start_s) {
      this.#wasChilled = this.#isUnderWay && isChilled(setup, truth, state)
      return
    }
    const { stage } = state
    const { beer_C } = truth
    const { limits } = setup.plan
    this.#extents.most('limit-broken', beer_C - (limits.highest_C ?? beer_C), stage, now_s)
    this.#extents.most('limit-broken', (limits.lowest_C ?? beer_C) - beer_C, stage, now_s)
    this.#extents.most('freezing', truth.freezes_C - beer_C, stage, now_s)
    this.#measureYeast(now_s, truth, state)
    this.#measureCycling(now_s, truth.cooler.starts, stage)
    if (setup.program.thermostat !== null) this.#measureOdds(now_s, truth, stage)
    const off_K = state.target_C === null || isFree(setup, stage) ? 0 : Math.abs(beer_C - state.target_C)
    if (off_K > OFF_TARGET_K[setup.plan.side]) this.#extents.add('target-not-followed', hours, stage, now_s)
    if (state.disagreeing.some(({ said }) => said))
      this.#extents.add('instruments-disagree', hours, stage, now_s)
    if (state.inCharge[setup.program.beer] === -1)
      this.#extents.add('temperature-unknown', hours, stage, now_s)
    if (state.questions.some(question => isBlocking(setup, question))) {
      this.#extents.add('waits-for-brewer', hours, stage, now_s)
    }
  }

  /** What can only be told at the end; then all that is worth a word. */
  finish(ended_s: number, truth: Truth, state: EngineState): readonly Harm[] {
    const { stage, batch } = state
    const lasted_s = ended_s - this.#setup.start_s
    if (batch === 'complete') {
      const left_SG = truth.gravity_SG - truth.finalGravity_SG
      this.#extents.most('final-gravity-not-reached', 1000 * left_SG, stage, ended_s)
      if (!this.#wasChilled) this.#measureTaste(ended_s, truth, stage)
    } else {
      this.#extents.most('never-leaves-stage', (ended_s - state.stageSince_s) / HOUR_S, stage, ended_s)
    }
    this.#extents.divide('heater-fights-cooler', Math.max(1, lasted_s / DAY_S))
    return RISKS.flatMap(({ code, counts }) => {
      const found = this.#extents.get(code)
      if (found === null || found.extent <= counts) return []
      return [{ code, extent: found.extent, stage: found.stage, at_s: found.at_s - this.#setup.start_s }]
    })
  }

  #measureYeast(now_s: number, truth: Truth, state: EngineState): void {
    const setup = this.#setup
    const { yeast } = setup.beer
    if (!yeast) return
    const { stage } = state
    const { beer_C } = truth
    const { lowest, highest } = yeast.comfort_C
    const left_SG = truth.gravity_SG - truth.finalGravity_SG
    const hours = setup.sample_s / HOUR_S
    const isFermenting = left_SG > NEARLY_DONE_SG
    const isMeantCold = isMeantToBeCold(setup, state)
    if (left_SG > WARM_FINISH_SG && beer_C > highest + COMFORT_MARGIN_K) {
      this.#extents.add('too-warm', (beer_C - highest) * hours, stage, now_s)
    }
    if (isFermenting && !isMeantCold && beer_C < lowest - COMFORT_MARGIN_K) {
      this.#extents.add('too-cold', (lowest - beer_C) * hours, stage, now_s)
    }
    if (!this.#wasChilled && isChilled(setup, truth, state)) {
      this.#wasChilled = true
      this.#extents.most('chilled-early', 1000 * left_SG, stage, now_s)
      this.#measureTaste(now_s, truth, stage)
    }
  }

  /** The precursor counts, as it turns into diacetyl later, when no yeast may be left to take that away. */
  #measureTaste(now_s: number, truth: Truth, stage: number): void {
    const { yeast } = this.#setup.beer
    if (!yeast) return
    const total = truth.totalDiacetyl_mg_per_L
    if (total > YEAST_CLASSES[yeast.class].diacetylThreshold_mg_per_L) {
      this.#extents.most('diacetyl', total, stage, now_s)
    }
  }

  /** As in `note`, to within a sample. */
  #measureOdds(now_s: number, truth: Truth, stage: number): void {
    for (const name of ['heater', 'cooler'] as const) {
      const { onTime_s } = truth[name]
      if (onTime_s === this.#ran_s[name]) continue
      const hadStopped_s = this.#stopped_s[name]
      const otherStopped_s = this.#stopped_s[name === 'heater' ? 'cooler' : 'heater']
      if (otherStopped_s > hadStopped_s && now_s - otherStopped_s < AT_ODDS_S)
        this.#extents.add('heater-fights-cooler', 1, stage, now_s)
      this.#ran_s[name] = onTime_s
      this.#stopped_s[name] = now_s
    }
  }

  #measureCycling(now_s: number, starts: number, stage: number): void {
    const perHour = Math.max(1, Math.round(HOUR_S / this.#setup.sample_s))
    this.#starts.push(starts)
    if (this.#starts.length <= perHour) return
    const before = this.#starts.shift()!
    this.#extents.most('short-cycling', starts - before, stage, now_s)
  }
}

function isMeantToBeCold({ beer: { yeast } }: Setup, { target_C }: EngineState): boolean {
  return yeast !== undefined && target_C !== null && target_C < yeast.comfort_C.lowest - CHILLING_K
}

function isChilled(setup: Setup, { beer_C }: Truth, state: EngineState): boolean {
  const { yeast } = setup.beer
  return yeast !== undefined && isMeantToBeCold(setup, state) && beer_C < yeast.comfort_C.lowest - CHILLING_K
}

/** In a free rise the target is a cap, and in a boil nothing is to be followed. */
function isFree(setup: Setup, stage: number): boolean {
  const kind = setup.program.stages[stage]?.course.kind
  return kind === 'free rise' || kind === 'boil' || kind === 'leave alone'
}

/** A task that need not be answered does not hold the batch up. */
function isBlocking(setup: Setup, question: Question): boolean {
  if (question.about !== 'task') return true
  const stage = setup.program.stages.find(({ name }) => name === question.stage)
  return stage?.tasks.some(({ name, wait }) => name === question.subject && wait) ?? false
}
