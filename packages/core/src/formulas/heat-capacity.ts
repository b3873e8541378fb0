/**
 * Specific heat of water at 101.325 kPa, kJ/(kg K), 0-100 °C: a fit made here to IAPWS-95 values; error 0.002.
 */
export function waterHeatCapacity_kJ_per_kg_K(temperature_C: number): number {
  const t = temperature_C
  return WATER[0] + t * (WATER[1] + t * (WATER[2] + t * (WATER[3] + t * WATER[4])))
}
const WATER = [4.21866, -0.00295506, 7.49684e-5, -7.69983e-7, 3.12999e-9] as const

/**
 * Specific heat of wort, kJ/(kg K), as a solution of pure sucrose: c = 4.1868 - B (0.0297 - 0.000046 * 100) + 0.000075 B t.
 * The sugar trade's formula (Bubnik et al., Sugar Technologists Manual), from memory; 0-25 °P, 0-80 °C. Sources differ by 3 % at
 * 12 °P (3.79-3.91).
 */
export function wortHeatCapacity_kJ_per_kg_K(extract_P: number, temperature_C: number): number {
  return 4.1868 - extract_P * 0.0251 + 7.5e-5 * extract_P * temperature_C
}
