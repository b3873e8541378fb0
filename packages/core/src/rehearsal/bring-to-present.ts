import type { Yeast } from '../beer/beer.ts'
import { type Draw, drawFor } from '../random/draw.ts'
import type { Vessel } from '../vessel/vessel.ts'
import {
  activity,
  apparentGravity,
  type FermentationState,
  heat_W_per_L,
} from '../world/fermentation/core.ts'
import { fermentationParameters, NOMINAL_FERMENTATION } from '../world/fermentation/parameters.ts'
import { finalGravityOf } from '../world/fermenter.ts'
import { drawPlant, nominalPlant, type Plant } from '../world/plant.ts'
import type { UnderWay } from '../world/setup.ts'
import { fermentSoFar, fermentUntil, type SoFar } from './ferment-so-far.ts'
import type { FromNow } from './from-now.ts'
import { adaptInstruments, type Believed, believedNow } from './instruments-now.ts'
import { NOMINAL_RUN } from './run.ts'

/** One plant as it may be now. */
export interface Beginning {
  /** Its biases are those of now, and its beer starts at the present temperature. */
  readonly plant: Plant
  readonly underWay: UnderWay
}

/** So many plants are drawn for each run, of which one is taken that fits the present. */
const CANDIDATES = 48
/** A present that even the chosen plant misses by more standard deviations than this went another way than the model. */
const MISSED_SD = 3
/** A reading that is older than this, h, is compared with the model as it was then: the rate of now says nothing of it. */
const OLD_READING_H = 3
/** A plant is asked for the beer's temperature at pitching as long as the batch is not older than this, s. */
const JUST_PITCHED_S = 3600

interface Candidate {
  readonly plant: Plant
  readonly fermentation: FermentationState | null
  readonly gravity: number
  readonly fall_per_h: number
  /** Logarithm of how well it agrees with the present. */
  readonly weight: number
  /** How far the believed gravity is off, in standard deviations of what is known about it. */
  readonly missed_sd: number
}

/**
 * Brings a world to the present: decides, for one run, everything that is not known about the vessel, the yeast and the
 * instruments, and how far the beer has come. This is the one place where a rehearsal from now learns from the readings;
 * an estimate that knows more of them takes its place by giving a `Beginning` for each run.
 *
 * Plants are drawn as in a rehearsal, their fermentation alone goes along the temperatures that the beer had, and one is
 * taken with a chance in proportion to the likelihood of the gravity that is believed now (sampling importance
 * resampling: Rubin 1988; Gordon, Salmond and Smith 1993). The biases of the instruments then follow from their present
 * readings and that plant. In the nominal run the yeast is the most likely one of those that are faster or slower as a
 * whole, and end higher or lower.
 */
export function bringToPresent(from: FromNow, run: number): Beginning {
  const { setup } = from
  const { yeast } = setup.beer
  const draw = run === NOMINAL_RUN ? null : drawFor(setup.seed, run)
  const normal = () => draw?.normal() ?? 0
  const believed = believedNow(from)
  const chosen =
    draw === null
      ? mostLikely(from, believed, yeast ?? null)
      : chooseOne(candidates(from, believed, draw), draw)
  const { beer } = believed
  const beer_C =
    beer === null ? unknownTemperature_C(from, chosen.plant) : beer.value - beer.bias + beer.sd * normal()
  const { fermentation, gravity } = settled(from, chosen, believed, beer_C)
  const { fall_per_h } = chosen
  const truth = { beer_C, gravity, fall_per_h, foaming: foamingOf(chosen) }
  const { errors, air_C } = adaptInstruments(from, chosen.plant, truth, normal)
  const plant: Plant = { ...chosen.plant, ...errors, startsAt_C: beer_C }
  return { plant, underWay: { fermentation, ...aroundTheBeer(setup.vessel, plant, fermentation, air_C) } }
}

function unknownTemperature_C({ past_C, pitched_s, present }: FromNow, { startsAt_C }: Plant): number {
  const isNew = present.now_s - pitched_s <= JUST_PITCHED_S
  return isNew ? startsAt_C : (past_C.at(-1) ?? startsAt_C)
}

/** The wall between the beer and the air; where nobody measures the air, as if they just carried the yeast's heat away. */
function aroundTheBeer(
  vessel: Vessel,
  plant: Plant,
  fermentation: FermentationState | null,
  measured_C: number | null,
): Pick<UnderWay, 'wall_C' | 'air_C'> {
  const { beerToWall_W_per_K: inner, wallToAir_W_per_K: outer, startsAt_C: beer_C } = plant
  const air_C = vessel.heat.cabinet ? measured_C : plant.roomMean_C
  if (air_C !== null) return { wall_C: (inner * beer_C + outer * air_C) / (inner + outer), air_C }
  const yeast_W =
    fermentation === null || plant.fermentation === null
      ? 0
      : heat_W_per_L(fermentation, plant.fermentation) * plant.volume_L
  const wall_C = beer_C - yeast_W / inner
  return { wall_C, air_C: wall_C - yeast_W / outer }
}

function candidates(from: FromNow, believed: Believed, draw: Draw): readonly Candidate[] {
  const { vessel, beer } = from.setup
  const count = believed.gravity === null || beer.yeast === undefined ? 1 : CANDIDATES
  return Array.from({ length: count }, () => weigh(from, believed, drawPlant(vessel, beer, draw)))
}

function weigh(from: FromNow, { gravity: known }: Believed, plant: Plant): Candidate {
  const { present, pitched_s, past_C, setup } = from
  const parameters = plant.fermentation
  if (parameters === null) {
    const gravity = setup.beer.originalGravity
    return { plant, fermentation: null, gravity, fall_per_h: 0, weight: 0, missed_sd: 0 }
  }
  const soFar = fermentSoFar(parameters, past_C, present.now_s - pitched_s)
  const { state: fermentation, gravity, fall_per_h } = soFar
  if (known === null) return { plant, fermentation, gravity, fall_per_h, weight: 0, missed_sd: 0 }
  const sd = Math.hypot(known.sd, known.foam * activity(fermentation, parameters))
  const atReading = gravityAt(from, plant, soFar, known.age_h)
  const missed_sd = (known.value - known.bias - atReading) / sd
  return { plant, fermentation, gravity, fall_per_h, weight: -0.5 * missed_sd ** 2 - Math.log(sd), missed_sd }
}

/** What the beer had when it was measured: a straight line for hours, the way it went by the model for longer. */
function gravityAt(
  { present, pitched_s, past_C }: FromNow,
  { fermentation: parameters }: Plant,
  { gravity, fall_per_h }: SoFar,
  age_h: number,
): number {
  if (parameters === null || age_h <= OLD_READING_H) return gravity + fall_per_h * age_h
  const elapsed_s = Math.max(0, present.now_s - pitched_s - age_h * 3600)
  return fermentSoFar(parameters, past_C.slice(0, Math.ceil(elapsed_s / 3600)), elapsed_s).gravity
}

/** One of them, with a chance in proportion to its weight. */
function chooseOne(list: readonly Candidate[], draw: Draw): Candidate {
  const heaviest = Math.max(...list.map(({ weight }) => weight))
  const shares = list.map(({ weight }) => Math.exp(weight - heaviest))
  let left = draw.uniform() * shares.reduce((sum, share) => sum + share, 0)
  for (let n = 0; n < list.length; n++) {
    left -= shares[n]!
    if (left < 0) return list[n]!
  }
  return list.at(-1)!
}

/** Standard normal numbers: the grid of the nominal yeast, and the finer one around its best point. */
const PACES = [-3, -2.5, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2, 2.5, 3]
const ENDS = [-2, -1, 0, 1, 2]
const FINER = [-0.25, -0.125, 0, 0.125, 0.25]
/** Pace of the yeast, of growth, of uptake, of waking, and the pitch go together. */
const GO_TOGETHER = 5

function mostLikely(from: FromNow, believed: Believed, yeast: Yeast | null): Candidate {
  const { vessel, beer } = from.setup
  const nominal = nominalPlant(vessel, beer)
  if (yeast === null || believed.gravity === null) return weigh(from, believed, nominal)
  let best = {
    pace: 0,
    final: 0,
    posterior: Number.NEGATIVE_INFINITY,
    candidate: weigh(from, believed, nominal),
  }
  const look = (pace: number, final: number) => {
    const numbers = { pace, k: pace, mu: pace, lagFactor: pace, x0: pace, final }
    const fermentation = fermentationParameters({ ...beer, yeast }, { ...NOMINAL_FERMENTATION, ...numbers })
    const candidate = weigh(from, believed, { ...nominal, fermentation })
    const posterior = candidate.weight - 0.5 * (GO_TOGETHER * pace ** 2 + final ** 2)
    if (posterior > best.posterior) best = { pace, final, posterior, candidate }
  }
  for (const pace of PACES) for (const final of ENDS) look(pace, final)
  const { pace, final } = best
  for (const more of FINER) for (const higher of FINER) look(pace + more, final + 2 * higher)
  return best.candidate
}

/** When the beer is far from where it should be by now, the model is set to the moment at which it is there. */
function settled(
  { past_C }: FromNow,
  { plant, fermentation, gravity, missed_sd }: Candidate,
  { gravity: known }: Believed,
  beer_C: number,
): { readonly fermentation: FermentationState | null; readonly gravity: number } {
  const parameters = plant.fermentation
  if (parameters === null || known === null || Math.abs(missed_sd) <= MISSED_SD) {
    return { fermentation, gravity }
  }
  const wanted = Math.max(finalGravityOf(parameters), known.value - known.bias)
  // An old reading is where the beer was then, not where it is: from there it went on for as long as that is ago.
  const ago_h = known.age_h <= OLD_READING_H ? 0 : Math.round(known.age_h)
  const found = fermentUntil(parameters, past_C, beer_C, wanted, ago_h === 0 ? [] : past_C.slice(-ago_h))
  return { fermentation: found, gravity: apparentGravity(found, parameters) }
}

function foamingOf({ plant, fermentation }: Candidate): number {
  return plant.fermentation === null || fermentation === null ? 0 : activity(fermentation, plant.fermentation)
}
