import { platoFromSg, sgFromPlato } from '../formulas/gravity.ts'
import { REAL_PER_APPARENT_DROP } from './fermentation/balling.ts'
import {
  activity,
  apparentGravity,
  copyFermentation,
  createFermentation,
  diacetyl_mg_per_L,
  type FermentationParameters,
  type FermentationState,
  heat_W_per_L,
  stepFermentation,
  totalDiacetyl_mg_per_L,
} from './fermentation/core.ts'

/**
 * The fermentation on the grid of the world. A step is made at its beginning, with the beer's temperature there, so that
 * its heat is known and constant while it lasts; in between, gravity runs straight from one end of the step to the other.
 */
export class Fermenter {
  readonly parameters: FermentationParameters | null
  readonly step_s: number
  heat_W = 0
  activity = 0
  /** Specific gravity at the beginning and at the end of the present step. */
  from_SG: number
  to_SG: number
  readonly original_SG: number
  /** Where this fermentation ends when nothing stops it. */
  readonly final_SG: number
  readonly #volume_L: number
  readonly #state: FermentationState | null
  #from_s = 0

  constructor(
    parameters: FermentationParameters | null,
    originalGravity: number,
    volume_L: number,
    step_s: number,
    underWay: FermentationState | null = null,
  ) {
    this.parameters = parameters
    this.step_s = step_s
    this.#volume_L = volume_L
    this.#state =
      parameters === null
        ? null
        : underWay === null
          ? createFermentation(parameters)
          : copyFermentation(underWay)
    this.to_SG =
      parameters === null || this.#state === null ? originalGravity : apparentGravity(this.#state, parameters)
    this.from_SG = this.to_SG
    this.original_SG = originalGravity
    this.final_SG = parameters === null ? this.to_SG : finalGravityOf(parameters)
  }

  /** Makes the step that begins now. */
  step(now_s: number, beer_C: number, activityFactor: number, stuckAt: number): void {
    const state = this.#state
    const { parameters } = this
    if (state === null || parameters === null) return
    this.#from_s = now_s
    this.from_SG = this.to_SG
    state.activityFactor = activityFactor
    state.stuckAt = stuckAt
    stepFermentation(state, parameters, beer_C, this.step_s)
    this.to_SG = apparentGravity(state, parameters)
    this.heat_W = heat_W_per_L(state, parameters) * this.#volume_L
    this.activity = activity(state, parameters)
  }

  gravityAt(t_s: number): number {
    return this.from_SG + ((this.to_SG - this.from_SG) * (t_s - this.#from_s)) / this.step_s
  }

  /** At the end of the present step, mg/L. */
  diacetyl_mg_per_L(): number {
    return this.#state === null ? 0 : diacetyl_mg_per_L(this.#state)
  }

  /** With the precursor that may still become diacetyl, mg/L. */
  totalDiacetyl_mg_per_L(): number {
    return this.#state === null ? 0 : totalDiacetyl_mg_per_L(this.#state)
  }
}

export function finalGravityOf(parameters: FermentationParameters): number {
  const realDrop_P = parameters.fermentable_g_per_L / (10 * parameters.originalGravity_SG)
  return sgFromPlato(parameters.originalExtract_P - realDrop_P / REAL_PER_APPARENT_DROP)
}

/** The same fermentation with another end: that of the parameters plus an offset in specific gravity. */
export function withFinalGravityOffset(
  parameters: FermentationParameters,
  offset_SG: number,
): FermentationParameters {
  const final_P = platoFromSg(finalGravityOf(parameters) + offset_SG)
  const realDrop_P = Math.min(
    Math.max(0, parameters.originalExtract_P - final_P) * REAL_PER_APPARENT_DROP,
    Math.max(0, parameters.originalExtract_P),
  )
  return { ...parameters, fermentable_g_per_L: 10 * parameters.originalGravity_SG * realDrop_P }
}
