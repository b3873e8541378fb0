import { may, type ReadRecord, record } from '../source-text/record.ts'
import { uncertain } from '../source-text/value-shapes.ts'
import type { HeatPaths, Uncertain } from './vessel.ts'

/**
 * Usual heat paths, for a vessel file that does not know them. A bucket is taken as an upright cylinder 1.3 times as high as
 * wide, cooled over its whole surface: 20 L have 0.41 m².
 */
const HEIGHT_BY_WIDTH = 1.3
/** Bare vessel in still air, radiation included: 7 to 12 W/(m² K) (from memory; agrees with Churchill and Chu 1975). */
const STILL_AIR_W_PER_M2_K = 9
/** Natural convection inside a tank: 57 W/(m² K), 10 Btu/(h ft² °F) (a US national laboratory's tool for tank heating). */
const INSIDE_W_PER_M2_K = 57
/** 3 mm of polyethylene of 950 kg/m³ and 1850 J/(kg K) (from memory). */
const WALL_J_PER_M2_K = 5300
/** The inner lining, shelves and air of a cabinet of 100 to 200 L. Common practice, no source. */
const CABINET_AIR: Uncertain = { value: 9000, sd: 2700 }
/** An upright domestic refrigerator with its door closed. Common practice, no source. */
const CABINET_TO_ROOM: Uncertain = { value: 1.6, sd: 0.4 }

const conductance = uncertain('conductance', {
  least: 0,
  above: true,
  said: 'Write a positive conductance, for example 4 W/°C.',
})
const capacity = uncertain('heat capacity', {
  least: 0,
  above: true,
  said: 'Write a positive heat capacity, for example 3 kJ/°C.',
})

export const heatFields = {
  'beer to wall': may(
    conductance,
    'From the beer to the wall of the vessel.',
    '57 W/(m² °C) over the surface, ± 30 % (natural convection in a tank, a US national laboratory)',
  ),
  'wall stores': may(
    capacity,
    'Heat capacity of the wall.',
    '5.3 kJ/(m² °C) over the surface, ± 30 % (3 mm of polyethylene, from memory)',
  ),
  'wall to air': may(
    conductance,
    'From the wall to the air of the cabinet.',
    '9 W/(m² °C) over the surface, ± 25 % (bare vessel in still air: 7 to 12, from memory)',
  ),
  'air stores': may(
    capacity,
    'Heat capacity of the air and the lining of the cabinet.',
    '9 kJ/°C ± 30 % (common practice, no source)',
  ),
  'air to room': may(
    conductance,
    'From the air of the cabinet to the room.',
    '1.6 W/°C ± 25 % (common practice, no source)',
  ),
  'wall to room': may(
    conductance,
    'Without a cabinet: from the wall straight to the room.',
    '9 W/(m² °C) over the surface, ± 25 % (bare vessel in still air: 7 to 12, from memory)',
  ),
}

/** The keys that only make sense with a cabinet around the vessel. */
export const CABINET_KEYS = ['wall to air', 'air stores', 'air to room'] as const

export const heatShape = record(heatFields, {
  called: 'the heat paths',
  example: '{ beer to wall: 12 W/°C, wall stores: 3 kJ/°C, wall to room: 4 W/°C }',
})

export type ReadHeat = ReadRecord<typeof heatFields>

export function heatPathsFrom(heat: ReadHeat | undefined, cabinet: boolean, volume_L: number): HeatPaths {
  const values = heat?.values ?? {}
  const area_m2 = surface_m2(volume_L)
  const usual = (per_m2: number, spread: number): Uncertain => ({
    value: per_m2 * area_m2,
    sd: per_m2 * area_m2 * spread,
  })
  const wallToAir = cabinet ? values['wall to air'] : values['wall to room']
  return {
    cabinet,
    beerToWall_W_per_K: values['beer to wall'] ?? usual(INSIDE_W_PER_M2_K, 0.3),
    wall_J_per_K: values['wall stores'] ?? usual(WALL_J_PER_M2_K, 0.3),
    wallToAir_W_per_K: wallToAir ?? usual(STILL_AIR_W_PER_M2_K, 0.25),
    air_J_per_K: cabinet ? (values['air stores'] ?? CABINET_AIR) : { value: 0, sd: 0 },
    airToRoom_W_per_K: cabinet ? (values['air to room'] ?? CABINET_TO_ROOM) : { value: 0, sd: 0 },
  }
}

/** Surface of the cylinder that holds this volume. */
function surface_m2(volume_L: number): number {
  const width_m = Math.cbrt((4 * volume_L) / 1000 / (Math.PI * HEIGHT_BY_WIDTH))
  return Math.PI * width_m * width_m * (HEIGHT_BY_WIDTH + 0.5)
}
