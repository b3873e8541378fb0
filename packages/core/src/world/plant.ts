import type { Beer, Yeast } from '../beer/beer.ts'
import { platoFromSg } from '../formulas/gravity.ts'
import { wortHeatCapacity_kJ_per_kg_K } from '../formulas/heat-capacity.ts'
import { wortDensity_kg_per_m3 } from '../formulas/wort-density.ts'
import type { Draw } from '../random/draw.ts'
import { listChannels } from '../vessel/channels.ts'
import type { Uncertain, Vessel } from '../vessel/vessel.ts'
import type { FermentationParameters } from './fermentation/core.ts'
import { fermentationParameters, NOMINAL_FERMENTATION } from './fermentation/parameters.ts'

/** Everything about a vessel and its beer that is uncertain, decided for one run. */
export interface Plant {
  readonly volume_L: number
  readonly beer_J_per_K: number
  readonly startsAt_C: number
  /** null: nothing ferments. */
  readonly fermentation: FermentationParameters | null
  readonly beerToWall_W_per_K: number
  readonly wall_J_per_K: number
  readonly wallToAir_W_per_K: number
  readonly air_J_per_K: number
  readonly airToRoom_W_per_K: number
  readonly roomMean_C: number
  readonly roomSwing_K: number
  readonly heaterPower_W: number
  readonly element_J_per_K: number
  readonly coolerPower_W: number
  readonly evaporator_J_per_K: number
  readonly channels: readonly PlantChannel[]
  readonly instruments: readonly PlantInstrument[]
  /** Error of the thermostat's own thermometer; 0 without one. */
  readonly thermostatBias_K: number
}

/** In the channel's own unit. The error of a reading is bias + drift x days since the start. */
export interface PlantChannel {
  readonly bias: number
  readonly drift_per_day: number
  /** On the noise and the foam of the vessel file: 1, or 0 for an instrument that is as expected. */
  readonly noise: number
}

export interface PlantInstrument {
  /** Seconds from the start to its first report. */
  readonly phase_s: number
  readonly outagesPerDay: number
}

/** No capacity or conductance is drawn below this share of its mean: a plant stays a plant. */
const LEAST_SHARE = 0.1
/**
 * The beer's heat capacity is taken at this temperature, and for the wort: it rises by some 3 % as the beer ferments, which
 * is as much as formulas for it differ.
 */
const WORT_C = 20
/** The air, wall or element of a plant stores at least this much, so that no time constant is absurdly short. */
const LEAST_J_PER_K = 1

/** Every value at its mean, no bias, no drift, no noise, no outages: run 0 of a rehearsal, the same for every seed. */
export function nominalPlant(vessel: Vessel, beer: Beer): Plant {
  return makePlant(vessel, beer, null)
}

/** One plant of the ensemble: independent normal errors, cut off at ±3 standard deviations. */
export function drawPlant(vessel: Vessel, beer: Beer, draw: Draw): Plant {
  return makePlant(vessel, beer, draw)
}

function makePlant(vessel: Vessel, beer: Beer, draw: Draw | null): Plant {
  const normal = () => (draw === null ? 0 : draw.normal())
  const any = (uncertain: Uncertain) => uncertain.value + uncertain.sd * normal()
  const positive = (uncertain: Uncertain) => Math.max(LEAST_SHARE * uncertain.value, any(uncertain))
  const capacity = (uncertain: Uncertain) => Math.max(LEAST_J_PER_K, positive(uncertain))
  const volume = positive(vessel.volume_L)
  const volume_L = beer.volume_L ?? volume
  const { heat, heater, cooler, room } = vessel
  const extract_P = Math.max(0, platoFromSg(beer.originalGravity))
  const { yeast } = beer
  return {
    volume_L,
    beer_J_per_K:
      volume_L *
      wortDensity_kg_per_m3(beer.originalGravity, WORT_C) *
      wortHeatCapacity_kJ_per_kg_K(extract_P, WORT_C),
    startsAt_C: any(beer.startsAt_C),
    fermentation: yeast === undefined ? null : drawnFermentation({ ...beer, yeast }, normal),
    beerToWall_W_per_K: positive(heat.beerToWall_W_per_K),
    wall_J_per_K: capacity(heat.wall_J_per_K),
    wallToAir_W_per_K: positive(heat.wallToAir_W_per_K),
    air_J_per_K: capacity(heat.air_J_per_K),
    airToRoom_W_per_K: positive(heat.airToRoom_W_per_K),
    roomMean_C: any(room.mean_C),
    roomSwing_K: Math.max(0, any(room.swing_K)),
    heaterPower_W: heater === undefined ? 0 : positive(heater.power_W),
    element_J_per_K: heater === undefined ? LEAST_J_PER_K : capacity(heater.element_J_per_K),
    coolerPower_W: cooler === undefined ? 0 : positive(cooler.power_W),
    evaporator_J_per_K: cooler === undefined ? LEAST_J_PER_K : capacity(cooler.evaporator_J_per_K),
    channels: listChannels(vessel).map(({ channel }) => ({
      bias: any(channel.bias),
      drift_per_day: channel.drift_per_day * normal(),
      noise: draw === null ? 0 : 1,
    })),
    instruments: vessel.instruments.map((instrument, number) => {
      const every_s = Math.max(1, Math.round(instrument.every_s))
      return {
        phase_s: draw === null ? number % every_s : Math.floor(draw.uniform() * every_s),
        outagesPerDay: draw === null ? 0 : instrument.outages.perDay,
      }
    }),
    thermostatBias_K: vessel.thermostat === undefined ? 0 : any(vessel.thermostat.bias),
  }
}

function drawnFermentation(
  beer: Beer & { readonly yeast: Yeast },
  normal: () => number,
): FermentationParameters {
  const names = Object.keys(NOMINAL_FERMENTATION) as (keyof typeof NOMINAL_FERMENTATION)[]
  const draw = Object.fromEntries(names.map(name => [name, normal()]))
  return fermentationParameters(beer, { ...NOMINAL_FERMENTATION, ...draw })
}
