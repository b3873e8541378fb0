/**
 * Gee and Ramirez 1988, growth part: glucose, maltose, maltotriose, yeast, ethanol, all in mol/m³; time in hours.
 * Equations also in J. Inst. Brew. 100 (1994) 321-329 and 113 (2007) 325-333. Lager yeast with a heavy pitch, 8-20 °C.
 */
export const GLUCOSE = 0
export const MALTOSE = 1
export const MALTOTRIOSE = 2
export const YEAST = 3
export const ETHANOL = 4

const R_KCAL = 0.001987

const ARRHENIUS = {
  V_G: [35.77, 22.6],
  V_M: [16.4, 11.3],
  V_N: [10.59, 7.16],
  K_G: [-121.3, -68.6],
  K_M: [-19.15, -14.4],
  K_N: [-26.78, -19.9],
  Ki_G: [23.33, 10.2],
  Ki_M: [55.61, 26.3],
} as const

export type GeeRamirezRates = Readonly<Record<keyof typeof ARRHENIUS, number>>

export function geeRamirezRates(temperature_C: number): GeeRamirezRates {
  const rates: Record<string, number> = {}
  for (const [name, [a, energy_kcal]] of Object.entries(ARRHENIUS)) {
    rates[name] = Math.exp(a - energy_kcal / (R_KCAL * (temperature_C + 273.15)))
  }
  return rates as GeeRamirezRates
}

export function geeRamirez(y: Float64Array, dy: Float64Array, r: GeeRamirezRates): void {
  const glucose = Math.max(0, y[GLUCOSE]!)
  const maltose = y[MALTOSE]!
  const maltotriose = y[MALTOTRIOSE]!
  const yeast = y[YEAST]!
  const glucoseBlock = r.Ki_G / (r.Ki_G + glucose)
  const mu1 = (r.V_G * glucose) / (r.K_G + glucose)
  const mu2 = ((r.V_M * maltose) / (r.K_M + maltose)) * glucoseBlock
  const mu3 = ((r.V_N * maltotriose) / (r.K_N + maltotriose)) * glucoseBlock * (r.Ki_M / (r.Ki_M + maltose))
  dy[GLUCOSE] = -mu1 * yeast
  dy[MALTOSE] = -mu2 * yeast
  dy[MALTOTRIOSE] = -mu3 * yeast
  dy[YEAST] = (0.134 * mu1 + 0.268 * mu2 + 0.402 * mu3) * yeast
  dy[ETHANOL] = (1.92 * mu1 + 3.84 * mu2 + 5.76 * mu3) * yeast
}
